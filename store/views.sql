-- The public contract: names, columns, types and value lists are stable. Everything else in the file is firstcap's own.

CREATE OR REPLACE VIEW base.latest_readings AS
SELECT * FROM base.readings
WHERE error IS NULL
QUALIFY row_number() OVER (PARTITION BY document_id ORDER BY reading_no DESC) = 1;

CREATE OR REPLACE VIEW base.newest_readings AS
SELECT * FROM base.readings
QUALIFY row_number() OVER (PARTITION BY document_id ORDER BY reading_no DESC) = 1;

CREATE OR REPLACE VIEW base.current_items AS
SELECT * FROM (
  SELECT * FROM base.standing
  QUALIFY row_number() OVER (PARTITION BY item_id ORDER BY standing_no DESC) = 1
)
WHERE version_no IS NOT NULL;

CREATE OR REPLACE VIEW base.current_documents AS
SELECT v.*, i.standing_no, i.state
FROM base.current_items AS i JOIN base.document_versions AS v USING (version_no)
WHERE i.item_id = i.document_id;

CREATE OR REPLACE VIEW base.current_terms AS
SELECT v.*, i.standing_no, i.state, i.decision_no AS standing_decision_no
FROM base.current_items AS i JOIN base.term_versions AS v USING (version_no)
WHERE i.item_id <> i.document_id;

-- A document without a term has been gone through only when a person has said so of the document itself.
CREATE OR REPLACE VIEW base.document_counts AS
SELECT
  document_id,
  count(*) FILTER (WHERE state <> 'struck') AS terms,
  count(*) FILTER (WHERE state = 'proposed') AS to_confirm,
  count(*) AS shown
FROM base.current_terms GROUP BY document_id;

CREATE OR REPLACE VIEW documents AS
SELECT
  n.document_id,
  n.file_name,
  CASE WHEN d.version_no IS NULL THEN n.supplier_given ELSE d.supplier END AS supplier,
  d.title,
  d.document_code,
  d.revision,
  d.effective_from,
  coalesce(r.pages, n.pages) AS pages,
  r.text_source,
  d.region,
  CASE
    WHEN r.reading_no IS NULL THEN 'failed'
    WHEN coalesce(c.to_confirm, 0) > 0 THEN 'to_confirm'
    WHEN coalesce(c.shown, 0) > 0 OR d.state = 'confirmed' THEN 'confirmed'
    ELSE 'to_confirm'
  END AS status,
  f.added_at
FROM base.newest_readings AS n
JOIN (SELECT document_id, min(read_at) AS added_at FROM base.readings GROUP BY document_id) AS f USING (document_id)
LEFT JOIN base.latest_readings AS r USING (document_id)
LEFT JOIN base.current_documents AS d USING (document_id)
LEFT JOIN base.document_counts AS c USING (document_id);

CREATE OR REPLACE VIEW terms AS
SELECT
  t.term_id,
  t.document_id,
  d.supplier,
  t.product,
  t.meter_type,
  t.size_label,
  t.component,
  t.variant,
  t.promise,
  t.accuracy_level,
  t.duration_months::DOUBLE AS duration_months,
  t.full_months::DOUBLE AS full_months,
  t.duration_days,
  nullif(t.duration_text, '') AS duration_text,
  t.start_event,
  t.start_rule,
  t.volume_cap_usgal::DOUBLE AS volume_cap_usgal,
  nullif(t.volume_cap_text, '') AS volume_cap_text,
  t.ends,
  t.life_of,
  t.remedy,
  t.state,
  t.confidence
FROM base.current_terms AS t LEFT JOIN base.current_documents AS d USING (document_id);

CREATE OR REPLACE VIEW limits AS
SELECT
  t.term_id,
  l.limit_no,
  l.kind,
  l.months::DOUBLE AS months,
  l.days,
  l.usgal::DOUBLE AS usgal,
  l.start_event,
  nullif(l.limit_text, '') AS limit_text
FROM base.current_terms AS t JOIN base.limits AS l USING (version_no);

CREATE OR REPLACE VIEW starts AS
SELECT t.term_id, s.start_no, s.event, s.plus_months::DOUBLE AS plus_months, nullif(s.start_text, '') AS start_text
FROM base.current_terms AS t JOIN base.starts AS s USING (version_no);

CREATE OR REPLACE VIEW accuracy_bands AS
SELECT
  t.term_id,
  b.flow_role,
  b.flow_from_usgpm::DOUBLE AS flow_from_usgpm,
  b.flow_to_usgpm::DOUBLE AS flow_to_usgpm,
  b.lower_pct::DOUBLE AS lower_pct,
  b.upper_pct::DOUBLE AS upper_pct,
  b.basis,
  nullif(b.band_text, '') AS band_text
FROM base.current_terms AS t JOIN base.bands AS b USING (version_no)
WHERE b.resolved OR NOT EXISTS (
  SELECT 1 FROM base.bands AS r WHERE r.version_no = b.version_no AND r.band_no = b.band_no AND r.resolved
);

CREATE OR REPLACE VIEW credits AS
SELECT
  t.term_id,
  c.from_month::DOUBLE AS from_month,
  c.to_month::DOUBLE AS to_month,
  c.customer_pays_pct::DOUBLE AS customer_pays_pct,
  c.price_basis,
  nullif(c.credit_text, '') AS credit_text
FROM base.current_terms AS t JOIN base.credits AS c USING (version_no);

-- One row per kind: where a document says it twice, both quotes are kept.
CREATE OR REPLACE VIEW exclusions AS
SELECT d.document_id, c.kind, nullif(string_agg(c.quote, ' … ' ORDER BY c.clause_no), '') AS quote
FROM base.current_documents AS d JOIN base.clauses AS c USING (version_no)
WHERE c.family = 'exclusion' GROUP BY d.document_id, c.kind;

CREATE OR REPLACE VIEW duties AS
SELECT
  d.document_id,
  c.kind,
  min(c.days)::INTEGER AS days,
  nullif(string_agg(c.quote, ' … ' ORDER BY c.clause_no), '') AS quote
FROM base.current_documents AS d JOIN base.clauses AS c USING (version_no)
WHERE c.family = 'duty' GROUP BY d.document_id, c.kind;

CREATE OR REPLACE VIEW conditions AS
SELECT d.document_id, c.kind, nullif(c.quote, '') AS quote
FROM base.current_documents AS d JOIN base.clauses AS c USING (version_no)
WHERE c.family = 'condition';

-- What a person last said to a clause that still stands in these words, as far as that was not taken back.
CREATE OR REPLACE VIEW base.clause_acts AS
SELECT document_id, family, kind, quote, arg_max(action, decision_no) AS action
FROM (
  SELECT
    item_id AS document_id,
    split_part(field, '.', 1) AS family,
    split_part(field, '.', 2) AS kind,
    decision_no,
    action,
    unnest(
      json_extract_string(
        CASE WHEN json_type(new_value) = 'ARRAY' THEN new_value::JSON ELSE json_array(new_value::JSON) END, '$[*].quote'
      )
    ) AS quote
  FROM base.decisions
  WHERE split_part(field, '.', 1) IN ('exclusion', 'duty', 'condition')
    AND action IN ('confirm', 'correct', 'add')
    AND new_value IS NOT NULL
    AND decision_no NOT IN (SELECT decision_no FROM base.taken_back)
)
GROUP BY ALL;

CREATE OR REPLACE VIEW clauses AS
SELECT
  d.document_id,
  c.clause_no,
  c.family,
  c.kind,
  c.days,
  nullif(c.quote, '') AS quote,
  CASE a.action WHEN 'confirm' THEN 'confirmed' WHEN 'correct' THEN 'corrected' WHEN 'add' THEN 'added' ELSE 'proposed' END
    AS state
FROM base.current_documents AS d
JOIN base.clauses AS c USING (version_no)
LEFT JOIN base.clause_acts AS a
  ON a.document_id = d.document_id AND a.family = c.family AND a.kind = c.kind AND a.quote = c.quote;

-- The latest reading that succeeded, and the newest one where it failed.
CREATE OR REPLACE VIEW warnings AS
SELECT r.document_id, coalesce(w.term_id, r.document_id) AS item_id, w.kind, w.page, w.message
FROM base.latest_readings AS r JOIN base.warnings AS w USING (reading_no)
UNION ALL
SELECT document_id, document_id AS item_id, 'other' AS kind, error_page AS page, message
FROM base.newest_readings WHERE error IS NOT NULL;

CREATE OR REPLACE VIEW evidence AS
SELECT
  i.item_id,
  CASE WHEN c.clause_no IS NULL THEN e.field ELSE c.family || '.' || c.kind END AS field,
  e.page,
  e.x0 AS x0_pt,
  e.top AS top_pt,
  e.x1 AS x1_pt,
  e.bottom AS bottom_pt,
  nullif(e.quote, '') AS quote,
  nullif(e.pattern, '') AS pattern,
  e.confidence
FROM base.current_items AS i
JOIN base.evidence AS e USING (version_no)
LEFT JOIN base.clauses AS c ON c.version_no = e.version_no AND c.clause_no = e.clause_no;

-- A second look changes no value, and its rows say in their note what they are.
CREATE OR REPLACE VIEW decisions AS
SELECT decided_at, reviewer, item_id, field, action, old_value, new_value, note FROM base.decisions
UNION ALL
SELECT decided_at, reviewer, item_id, field, action, old_value, new_value, concat_ws(': ', 'second look', note)
FROM base.second_acts;

CREATE OR REPLACE VIEW baselines AS
SELECT
  standard,
  edition,
  meter_type,
  size_label,
  condition,
  flow_role,
  flow_from_usgpm::DOUBLE AS flow_from_usgpm,
  flow_to_usgpm::DOUBLE AS flow_to_usgpm,
  lower_pct::DOUBLE AS lower_pct,
  upper_pct::DOUBLE AS upper_pct,
  source,
  certainty
FROM base.baselines;

CREATE OR REPLACE VIEW sizes AS
SELECT size_label, nominal_mm, nominal_inch::DOUBLE AS nominal_inch FROM base.sizes;
