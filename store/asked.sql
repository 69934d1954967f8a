-- Questions with an answer for every promise, as table macros: what may go unregistered, and what a tender asks.
-- Formulas with their worked examples: docs/worth.md.

-- Promises that hold for a size: those that name it, and those without a size that can hold for it. NULL: all of them.
CREATE OR REPLACE MACRO base.fitting(of_size) AS TABLE
WITH held AS (SELECT * FROM terms WHERE state <> 'struck'),
sized AS (
  SELECT document_id, product, meter_type, size_label = of_size AS here FROM held WHERE size_label IS NOT NULL
)
SELECT t.* FROM held AS t
WHERE of_size IS NULL OR t.size_label = of_size OR (
  t.size_label IS NULL
  AND (
    t.document_id NOT IN (SELECT document_id FROM sized)
    OR t.document_id IN (SELECT document_id FROM sized WHERE here)
  )
  AND coalesce((SELECT bool_or(here) FROM sized AS s WHERE s.document_id = t.document_id AND s.product = t.product), true)
  AND coalesce(
    (SELECT bool_or(here) FROM sized AS s WHERE s.document_id = t.document_id AND s.meter_type = t.meter_type), true
  )
);

-- What a meter may fail to register within its promise, in per cent of the water it passes:
--   SELECT * FROM exposure_at('5/8');
--   SELECT * FROM exposure_at('5/8', demand := [{'low': 0, 'high': 1, 'share': 20}, {'low': 1, 'high': 20, 'share': 80}]);
-- Flows in US gallons a minute, shares in per cent. `spread`: by how many points each share may be higher or lower. A
-- promise for low flow alone is joined to the document's own promise for the flows above it.
CREATE OR REPLACE MACRO exposure_at(of_size, demand := NULL, spread := 0, registered := false) AS TABLE
WITH usual AS (
  SELECT
    flow_from_usgpm AS low,
    flow_from_usgpm AS high,
    CASE flow_role WHEN 'intermediate' THEN 70.0 ELSE 15.0 END AS share
  FROM baselines
  WHERE standard = 'AWWA C700' AND size_label = of_size AND certainty <> 'from_memory'
    AND flow_role IN ('minimum', 'intermediate', 'maximum') AND flow_from_usgpm IS NOT NULL
  GROUP BY flow_role, flow_from_usgpm
),
bands AS (
  SELECT
    row_number() OVER () AS band_no,
    low,
    high,
    greatest(0, share - spread) AS least_share,
    least(100, share + spread) AS most_share
  FROM (
    SELECT low, high, share FROM usual WHERE demand IS NULL
    UNION ALL
    SELECT d.low, d.high, d.share
    FROM (SELECT unnest(demand::STRUCT(low DOUBLE, high DOUBLE, share DOUBLE)[]) AS d)
  )
),
promised AS (
  SELECT t.*, b.flow_from_usgpm AS low, b.flow_to_usgpm AS high, b.lower_pct / 100 AS lower
  FROM base.fitting(of_size) AS t JOIN accuracy_bands AS b USING (term_id)
  WHERE t.promise = 'accuracy' AND b.lower_pct > 0 AND coalesce(b.flow_from_usgpm, b.flow_to_usgpm) IS NOT NULL
),
held AS (
  SELECT
    term_id,
    any_value(document_id) AS document_id,
    any_value(product) AS product,
    any_value(accuracy_level) AS accuracy_level,
    min(low) AS lowest,
    max(high) AS highest
  FROM promised GROUP BY term_id
),
pairs AS (
  SELECT h.term_id, o.term_id AS low_flow_term_id
  FROM held AS h JOIN held AS o USING (document_id)
  WHERE h.term_id <> o.term_id AND h.accuracy_level IS DISTINCT FROM 'repaired_meter' AND o.highest < h.lowest
    AND (o.product IS NULL OR o.product IS NOT DISTINCT FROM h.product)
),
cases AS (
  SELECT * FROM pairs
  UNION ALL
  SELECT term_id, NULL FROM held WHERE term_id NOT IN (SELECT low_flow_term_id FROM pairs)
),
limits_of AS (
  SELECT c.term_id, c.low_flow_term_id, p.low, p.high, p.lower
  FROM cases AS c JOIN promised AS p ON p.term_id IN (c.term_id, c.low_flow_term_id)
),
-- One flow inside each stretch of a band over which the promise does not change.
cuts AS (
  SELECT
    c.term_id,
    c.low_flow_term_id,
    b.band_no,
    list_sort(list_distinct([b.low, b.high] || coalesce(list_filter(
      (SELECT list(edge) FROM (
        SELECT unnest([l.low, l.high]) AS edge FROM limits_of AS l
        WHERE l.term_id = c.term_id AND l.low_flow_term_id IS NOT DISTINCT FROM c.low_flow_term_id
      )), lambda edge: edge > b.low AND edge < b.high
    ), []))) AS edges
  FROM cases AS c CROSS JOIN bands AS b
),
flows AS (
  SELECT
    term_id,
    low_flow_term_id,
    band_no,
    unnest(
      CASE WHEN len(edges) = 1 THEN edges
      ELSE [(edges[i] + edges[i + 1]) / 2 FOR i IN range(1, len(edges))] END
    ) AS flow
  FROM cuts
),
near AS (
  SELECT
    f.term_id,
    f.low_flow_term_id,
    f.band_no,
    f.flow,
    max(l.lower) FILTER (f.flow BETWEEN l.low AND l.high) AS within,
    max({'high': l.high, 'lower': l.lower}) FILTER (l.high < f.flow) AS below,
    min({'low': l.low, 'minus_lower': -l.lower}) FILTER (l.low > f.flow) AS above
  FROM flows AS f JOIN limits_of AS l
    ON l.term_id = f.term_id AND l.low_flow_term_id IS NOT DISTINCT FROM f.low_flow_term_id
  GROUP BY ALL
),
-- If all the water ran in one band: lost there at the tightest and at the weakest limit that may hold, NULL where none.
at_flow AS (
  SELECT
    *,
    CASE
      WHEN within IS NOT NULL THEN within
      WHEN below IS NOT NULL AND above IS NOT NULL THEN least(below.lower, -above.minus_lower)
    END AS weakest,
    CASE
      WHEN within IS NOT NULL THEN within
      WHEN below IS NOT NULL AND above IS NOT NULL THEN greatest(below.lower, -above.minus_lower)
    END AS tightest
  FROM near
),
lost AS (
  SELECT
    term_id,
    low_flow_term_id,
    band_no,
    min(CASE WHEN registered THEN 1 / tightest - 1 ELSE 1 - tightest END) AS least_lost,
    max(CASE WHEN registered THEN 1 / weakest - 1 ELSE 1 - weakest END) AS most_lost,
    bool_or(weakest IS NULL) AS bare
  FROM at_flow GROUP BY ALL
),
each AS (
  SELECT
    l.term_id,
    l.low_flow_term_id,
    b.least_share,
    b.most_share,
    CASE WHEN least_lost IS NULL THEN 0 WHEN bare THEN least(least_lost, 0) ELSE least_lost END AS exposed_low,
    CASE WHEN most_lost IS NULL THEN 0 WHEN bare THEN greatest(most_lost, 0) ELSE most_lost END AS exposed_high,
    CASE WHEN least_lost IS NULL THEN 1 ELSE 0 END AS unprotected_low,
    CASE WHEN bare THEN 1 ELSE 0 END AS unprotected_high,
    CASE WHEN bare THEN greatest(coalesce(most_lost, 0), 1) ELSE most_lost END AS at_risk
  FROM lost AS l JOIN bands AS b USING (band_no)
),
-- Shares within their spread that sum to 100: filled from the dearest band down for a high end, the cheapest for a low.
worded AS (
  UNPIVOT each ON exposed_low, exposed_high, unprotected_low, unprotected_high, at_risk INTO NAME what VALUE worth
),
ordered AS (
  SELECT
    *,
    CASE WHEN ends_with(what, '_low') THEN worth ELSE -worth END AS dearness,
    100 - sum(least_share) OVER (PARTITION BY term_id, low_flow_term_id, what) AS spare
  FROM worded
),
filled AS (
  SELECT
    *,
    greatest(0, least(most_share - least_share, spare - coalesce(sum(most_share - least_share) OVER (
      PARTITION BY term_id, low_flow_term_id, what ORDER BY dearness, most_share, least_share
      ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING
    ), 0))) AS more
  FROM ordered
),
summed AS (
  SELECT term_id, low_flow_term_id, what, sum((least_share + more) * worth) AS pct FROM filled GROUP BY ALL
)
SELECT
  s.term_id,
  s.low_flow_term_id,
  any_value(t.supplier) AS supplier,
  any_value(t.size_label) AS size_label,
  any_value(t.accuracy_level) AS accuracy_level,
  any_value(t.state) AS state,
  max(s.pct) FILTER (s.what = 'exposed_low') AS exposed_low_pct,
  max(s.pct) FILTER (s.what = 'exposed_high') AS exposed_high_pct,
  max(s.pct) FILTER (s.what = 'unprotected_low') AS unprotected_low_pct,
  max(s.pct) FILTER (s.what = 'unprotected_high') AS unprotected_high_pct,
  max(s.pct) FILTER (s.what = 'at_risk') AS at_risk_pct
FROM summed AS s JOIN terms AS t USING (term_id)
GROUP BY s.term_id, s.low_flow_term_id;

-- What each promise answers to the asks of a tender, one row per promise that speaks to the component; what is not asked
-- is NULL. Margins are promised minus asked (for what the customer pays, asked minus promised): below zero is short.
--   SELECT * FROM asked('register', 'materials_workmanship', months_asked := 120, age_asked := 132, pays_asked := 50);
CREATE OR REPLACE MACRO asked(
  of_component, of_promise, of_level := NULL, of_size := NULL, months_asked := NULL, usgal_asked := NULL,
  starts_asked := NULL, usgpm_asked := NULL, lower_asked := NULL, upper_asked := NULL, age_asked := NULL,
  pays_asked := NULL
) AS TABLE
WITH speaking AS (
  SELECT t.*, s.months, s.usgal, several.term_id IS NOT NULL AS several
  FROM base.fitting(of_size) AS t
  JOIN base.spans(0) AS s USING (term_id)
  LEFT JOIN (
    SELECT DISTINCT term_id FROM limits
    QUALIFY count(*) OVER (PARTITION BY term_id, kind) > 1
  ) AS several USING (term_id)
  WHERE t.promise = of_promise
    AND (of_level IS NULL OR t.accuracy_level = of_level)
    AND (
      t.component IN (of_component, 'whole_meter')
      OR (of_component = 'whole_meter' AND t.component = 'measuring_element' AND of_promise = 'accuracy')
    )
),
near AS (
  SELECT
    term_id,
    100 * max(lower_pct / 100) FILTER (usgpm_asked BETWEEN flow_from_usgpm AND flow_to_usgpm) AS within,
    max({'high': flow_to_usgpm, 'lower': lower_pct}) FILTER (flow_to_usgpm < usgpm_asked) AS below,
    min({'low': flow_from_usgpm, 'minus_lower': -lower_pct}) FILTER (flow_from_usgpm > usgpm_asked) AS above
  FROM accuracy_bands WHERE lower_pct > 0 GROUP BY term_id
),
upper_limits AS (
  SELECT term_id, min(upper_pct) AS upper_pct FROM accuracy_bands
  WHERE usgpm_asked BETWEEN flow_from_usgpm AND flow_to_usgpm
  GROUP BY term_id
),
accurate AS (
  SELECT
    term_id,
    CASE WHEN within IS NOT NULL THEN within
      WHEN below IS NOT NULL AND above IS NOT NULL THEN least(below.lower, -above.minus_lower) END AS lower_pct,
    within IS NULL AND below.lower <> -above.minus_lower AS between_flows,
    upper_pct
  FROM near LEFT JOIN upper_limits USING (term_id)
),
paying AS (
  SELECT t.term_id, CASE WHEN t.ends = 'life' AND t.duration_months IS NULL THEN 0 ELSE p.customer_pays_pct END AS pays_pct
  FROM terms AS t LEFT JOIN customer_pays_at(age_asked) AS p USING (term_id)
),
answers AS (
  SELECT
    t.*,
    a.lower_pct,
    p.pays_pct,
    CASE
      WHEN months_asked IS NULL THEN NULL
      WHEN t.months < months_asked THEN 'not met'
      WHEN t.months IS NOT NULL AND t.full_months < months_asked THEN 'met with conditions'
      WHEN t.months IS NOT NULL OR t.ends IN ('life', 'volume_only') THEN 'met'
      ELSE 'not stated'
    END AS time_verdict,
    CASE
      WHEN usgal_asked IS NULL THEN NULL
      WHEN t.usgal < usgal_asked THEN 'not met'
      WHEN t.usgal IS NOT NULL OR t.ends IN ('time_only', 'life') THEN 'met'
      ELSE 'not stated'
    END AS volume_verdict,
    CASE
      WHEN starts_asked IS NULL THEN NULL
      WHEN t.start_event IS NULL THEN 'not stated'
      WHEN NOT list_contains(starts_asked, t.start_event) THEN 'not met'
      WHEN coalesce(t.start_rule, 'single') = 'single' AND NOT t.several THEN 'met'
      ELSE 'met with conditions'
    END AS start_verdict,
    CASE
      WHEN usgpm_asked IS NULL THEN NULL
      WHEN a.lower_pct IS NULL THEN 'not stated'
      WHEN a.lower_pct < lower_asked - 1e-9 THEN 'not met'
      WHEN upper_asked IS NOT NULL AND a.upper_pct IS NULL THEN 'not stated'
      WHEN a.upper_pct > upper_asked THEN 'not met'
      WHEN a.between_flows THEN 'met with conditions'
      ELSE 'met'
    END AS accuracy_verdict,
    CASE
      WHEN age_asked IS NULL THEN NULL
      WHEN p.pays_pct IS NULL THEN 'not stated'
      WHEN p.pays_pct > pays_asked THEN 'not met'
      ELSE 'met'
    END AS pays_verdict,
    t.component <> of_component OR t.product IS NOT NULL OR t.variant IS NOT NULL OR t.ends = 'unstated' OR t.several
      AS conditional
  FROM speaking AS t LEFT JOIN accurate AS a USING (term_id) LEFT JOIN paying AS p USING (term_id)
)
SELECT
  term_id,
  document_id,
  supplier,
  size_label,
  component,
  accuracy_level,
  state,
  CASE WHEN months_asked IS NOT NULL THEN months END AS months,
  months - months_asked AS months_margin,
  CASE WHEN usgal_asked IS NOT NULL THEN usgal END AS usgal,
  usgal - usgal_asked AS usgal_margin,
  CASE WHEN usgpm_asked IS NOT NULL THEN lower_pct END AS lower_pct,
  CASE WHEN usgpm_asked IS NOT NULL THEN lower_pct - lower_asked END AS lower_margin_pct,
  CASE WHEN age_asked IS NOT NULL THEN pays_pct END AS pays_pct,
  CASE WHEN age_asked IS NOT NULL THEN pays_asked - pays_pct END AS pays_margin_pct,
  CASE
    WHEN list_contains(verdicts, 'not met') THEN 'not met'
    WHEN list_contains(verdicts, 'not stated') OR len(list_filter(verdicts, lambda one: one IS NOT NULL)) = 0
      THEN 'not stated'
    WHEN conditional OR list_contains(verdicts, 'met with conditions') THEN 'met with conditions'
    ELSE 'met'
  END AS verdict
FROM (SELECT *, [time_verdict, volume_verdict, start_verdict, accuracy_verdict, pays_verdict] AS verdicts FROM answers);
