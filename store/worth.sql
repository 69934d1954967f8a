-- What the terms are worth, in SQL. Formulas with their worked examples: docs/worth.md.

-- A promise on the days of a meter first used so many months after shipment, manufacture, delivery and purchase: how long
-- it runs from the first of its clocks, and how much of that lies before the first use. Of several limits of a kind the
-- earliest counts, the latest where the document says so.
CREATE OR REPLACE MACRO base.spans(stored_months) AS TABLE
WITH clocks AS (
  SELECT
    t.term_id,
    t.start_rule,
    CASE
      WHEN coalesce(s.event, t.start_event, 'shipment') IN ('shipment', 'manufacture', 'delivery', 'purchase') THEN 0.0
      ELSE stored_months
    END + coalesce(s.plus_months, 0) AS starts
  FROM terms AS t LEFT JOIN starts AS s USING (term_id)
), first_clocks AS (
  SELECT term_id, CASE WHEN any_value(start_rule) = 'later_of' THEN max(starts) ELSE min(starts) END AS starts
  FROM clocks GROUP BY term_id
), several AS (
  SELECT
    l.term_id,
    l.kind,
    coalesce(l.months, l.days / 365.25 * 12) AS months,
    l.usgal,
    CASE
      WHEN l.start_event IS NULL THEN f.starts
      WHEN l.start_event IN ('shipment', 'manufacture', 'delivery', 'purchase') THEN 0.0
      ELSE stored_months
    END AS starts
  FROM limits AS l JOIN first_clocks AS f USING (term_id)
  WHERE coalesce(l.months, l.days, l.usgal) IS NOT NULL
  QUALIFY count(*) OVER (PARTITION BY l.term_id, l.kind) > 1
), stated AS (
  SELECT * FROM several
  UNION ALL
  SELECT t.term_id, 'time', coalesce(t.duration_months, t.duration_days / 365.25 * 12), NULL, f.starts
  FROM terms AS t JOIN first_clocks AS f USING (term_id)
  WHERE coalesce(t.duration_months, t.duration_days) IS NOT NULL
    AND t.term_id NOT IN (SELECT term_id FROM several WHERE kind = 'time')
  UNION ALL
  SELECT term_id, 'volume', NULL, volume_cap_usgal, NULL FROM terms
  WHERE volume_cap_usgal IS NOT NULL AND term_id NOT IN (SELECT term_id FROM several WHERE kind = 'volume')
), joined AS (
  SELECT
    t.term_id,
    min(s.starts) FILTER (s.kind = 'time') AS starts,
    CASE WHEN any_value(t.ends) = 'last_of' THEN max(s.starts + s.months) ELSE min(s.starts + s.months) END AS ends_at,
    CASE WHEN any_value(t.ends) = 'last_of' THEN max(s.usgal) ELSE min(s.usgal) END AS usgal
  FROM terms AS t LEFT JOIN stated AS s USING (term_id)
  WHERE t.state <> 'struck'
  GROUP BY t.term_id
)
SELECT
  j.term_id,
  j.ends_at - j.starts AS months,
  j.usgal,
  stored_months - coalesce(j.starts, f.starts) AS idle_months
FROM joined AS j JOIN first_clocks AS f USING (term_id);

CREATE OR REPLACE VIEW break_evens AS
SELECT
  t.term_id,
  t.document_id,
  t.supplier,
  t.size_label,
  t.component,
  t.promise,
  t.accuracy_level,
  t.ends,
  t.state,
  t.duration_months,
  t.volume_cap_usgal,
  s.usgal / s.months * 12 AS year_usgal,
  s.usgal / s.months AS month_usgal,
  s.usgal / s.months * 12 / 365.25 AS day_usgal
FROM terms AS t JOIN base.spans(0) AS s USING (term_id)
WHERE s.usgal IS NOT NULL AND s.months > 0;

-- The cover of every promise for an account of steady use: SELECT * FROM cover_at(109500), of a meter that lay in store
-- for half a year: cover_at(109500, stored_months := 6).
CREATE OR REPLACE MACRO cover_at(usgal_a_year, stored_months := 0) AS TABLE
SELECT
  term_id,
  supplier,
  size_label,
  promise,
  accuracy_level,
  CASE
    WHEN by_volume IS NULL AND (by_time IS NULL OR (ends = 'last_of' AND usgal IS NOT NULL)) THEN NULL
    WHEN by_time IS NULL OR by_volume IS NULL THEN coalesce(by_time, by_volume)
    WHEN ends = 'last_of' THEN greatest(by_time, by_volume)
    ELSE least(by_time, by_volume)
  END AS cover_months,
  CASE
    WHEN by_volume IS NULL AND (by_time IS NULL OR (ends = 'last_of' AND usgal IS NOT NULL)) THEN NULL
    WHEN by_volume IS NULL THEN 'time'
    WHEN by_time IS NULL THEN 'volume'
    WHEN abs(by_time - by_volume) <= by_time * 1e-9 THEN 'both'
    WHEN (by_volume < by_time) <> (ends = 'last_of') THEN 'volume'
    ELSE 'time'
  END AS ended_by
FROM (
  SELECT
    t.*,
    s.usgal,
    s.months AS by_time,
    CASE WHEN usgal_a_year > 0 AND s.usgal IS NOT NULL
      THEN greatest(0, s.idle_months + s.usgal / usgal_a_year * 12) END AS by_volume
  FROM terms AS t JOIN base.spans(stored_months) AS s USING (term_id)
);

CREATE OR REPLACE VIEW accuracy_margins AS
SELECT
  t.term_id,
  t.supplier,
  s.size_label,
  t.accuracy_level,
  s.flow_role,
  b.flow_from_usgpm,
  b.flow_to_usgpm,
  b.lower_pct,
  b.upper_pct,
  s.standard,
  s.edition,
  s.condition,
  b.lower_pct - s.lower_pct AS lower_margin_pct,
  b.upper_pct - s.upper_pct AS upper_margin_pct,
  s.certainty
FROM terms AS t
JOIN accuracy_bands AS b USING (term_id)
JOIN baselines AS s
  ON s.meter_type = t.meter_type
  AND s.size_label = t.size_label
  AND b.flow_from_usgpm >= s.flow_from_usgpm
  AND b.flow_to_usgpm <= s.flow_to_usgpm
WHERE t.state <> 'struck' AND s.certainty <> 'from_memory';

-- What the customer pays for a unit that fails at an age: SELECT * FROM customer_pays_at(147).
CREATE OR REPLACE MACRO customer_pays_at(age_months) AS TABLE
SELECT
  t.term_id,
  t.supplier,
  t.size_label,
  t.component,
  t.promise,
  CASE
    WHEN age_months >= s.months THEN 100
    WHEN c.customer_pays_pct IS NOT NULL THEN c.customer_pays_pct
    WHEN age_months < coalesce(t.full_months, t.duration_months) THEN 0
  END AS customer_pays_pct,
  c.price_basis
FROM terms AS t
JOIN base.spans(0) AS s USING (term_id)
LEFT JOIN credits AS c
  ON c.term_id = t.term_id AND age_months >= c.from_month AND age_months < c.to_month
WHERE t.duration_months IS NOT NULL;

CREATE OR REPLACE VIEW editions AS
SELECT
  document_id,
  supplier,
  document_code,
  revision,
  effective_from,
  lead(effective_from) OVER form AS superseded_on,
  lead(document_id) OVER form AS next_document_id
FROM documents
WHERE supplier IS NOT NULL AND document_code IS NOT NULL AND effective_from IS NOT NULL
WINDOW form AS (PARTITION BY lower(supplier), lower(document_code) ORDER BY effective_from, document_id);

-- Every piece of text with its place: the sentences and rows that promises stand in, and the quotes of clauses. A promise
-- without a sentence of its own, entered by a person for one, is told by its longest words.
CREATE OR REPLACE VIEW passages AS
SELECT DISTINCT
  'promise' AS family,
  t.component || ', ' || t.promise AS kind,
  t.supplier,
  d.file_name,
  t.document_id,
  e.quote AS text,
  t.state,
  e.page,
  t.term_id AS item_id,
  e.field
FROM terms AS t
JOIN documents AS d USING (document_id)
JOIN (
  SELECT item_id, quote, page, field FROM evidence
  WHERE quote IS NOT NULL
  QUALIFY field = 'quote' OR (
    count(*) FILTER (WHERE field = 'quote') OVER (PARTITION BY item_id) = 0
    AND row_number() OVER (PARTITION BY item_id ORDER BY length(quote) DESC, page, field) = 1
  )
) AS e ON e.item_id = t.term_id
WHERE t.state <> 'struck'
UNION ALL
SELECT
  c.family,
  c.kind,
  d.supplier,
  d.file_name,
  c.document_id,
  c.quote AS text,
  c.state,
  e.page,
  c.document_id AS item_id,
  c.family || '.' || c.kind AS field
FROM clauses AS c
JOIN documents AS d USING (document_id)
LEFT JOIN (
  SELECT v.document_id, p.clause_no, min(p.page) AS page
  FROM base.current_documents AS v JOIN base.evidence AS p USING (version_no)
  GROUP BY ALL
) AS e USING (document_id, clause_no)
WHERE c.quote IS NOT NULL;
