-- What to test before the cover ends, and what was made of the tests. Formulas: docs/claims.md.

-- Limits that may pass or fail a meter: printed in the document, or of a standard by a source that was read. What is held
-- from memory, and limits without a flow, judge nothing.
CREATE OR REPLACE VIEW base.judging_bands AS
SELECT
  b.*,
  b.flow_from_usgpm IS NOT NULL AND b.flow_to_usgpm IS NOT NULL AND (
    b.basis = 'stated' OR EXISTS (
      SELECT 1 FROM main.baselines AS s
      WHERE s.standard = b.basis AND s.certainty <> 'from_memory'
        AND s.flow_from_usgpm = b.flow_from_usgpm AND s.flow_to_usgpm = b.flow_to_usgpm
        AND s.lower_pct IS NOT DISTINCT FROM b.lower_pct AND s.upper_pct IS NOT DISTINCT FROM b.upper_pct
    )
  ) AS judges
FROM main.accuracy_bands AS b;

CREATE OR REPLACE VIEW bench_findings AS
SELECT
  b.line_no,
  b.meter_id,
  b.tested_on,
  b.flow_usgpm,
  b.registered_pct,
  b.uncertainty_pct,
  f.call,
  f.term_id,
  t.document_id,
  t.supplier,
  t.accuracy_level,
  t.state,
  f.limit_pct,
  f.outside_share * 100 AS outside_pct,
  f.ended_by,
  f.ended_on,
  f.why
FROM base.bench_tests AS b
JOIN base.bench_findings AS f USING (line_no)
LEFT JOIN main.terms AS t USING (term_id);

-- Meters whose accuracy cover ends within so many months of a day, by the promise that ends first:
-- SELECT * FROM test_first_on(DATE '2026-07-01', 12).
CREATE OR REPLACE MACRO test_first_on(day, within_months, include_proposed := false) AS TABLE
SELECT
  c.line_no,
  c.meter_id,
  c.supplier,
  m.product,
  m.product_written,
  c.size_label,
  year(coalesce(c.shipped_on, c.installed_on))::INTEGER AS lot_year,
  c.term_id,
  c.document_id,
  c.accuracy_level,
  c.state,
  c.starts_on,
  c.ends_on,
  c.ending_cap,
  c.left_months,
  c.left_usgal,
  u.use_usgal AS year_usgal,
  b.lower_pct,
  c.assumed
FROM meter_cover_on(day, include_proposed := include_proposed) AS c
JOIN main.meters AS m ON m.line_no = c.line_no
JOIN base.meter_uses AS u ON u.line_no = c.line_no
LEFT JOIN (SELECT term_id, max(lower_pct) AS lower_pct FROM base.judging_bands WHERE judges GROUP BY term_id) AS b
  ON b.term_id = c.term_id
WHERE c.promise = 'accuracy' AND c.covered AND c.ends_on <= (day::DATE + to_months(within_months::INTEGER))::DATE
QUALIFY row_number() OVER (PARTITION BY c.line_no ORDER BY c.ends_on, b.lower_pct DESC NULLS LAST, c.term_id) = 1;

-- The same by lot: supplier, model, size and year of shipment.
CREATE OR REPLACE MACRO test_lots_on(day, within_months, include_proposed := false) AS TABLE
SELECT
  supplier,
  coalesce(product, product_written) AS product,
  size_label,
  lot_year,
  count(*) AS meters,
  min(ends_on) AS first_ends_on,
  max(ends_on) AS last_ends_on,
  sum(year_usgal) AS year_usgal,
  count(*) FILTER (WHERE state = 'proposed') AS unconfirmed
FROM test_first_on(day, within_months, include_proposed := include_proposed)
GROUP BY ALL;
