-- Which of a utility's own meters are still covered. Formulas, the calendar and what is assumed: docs/fleet.md.
--
-- Dates that are not known are bounds, not guesses: -infinity or infinity, or the other date of the meter. Every end has
-- an earliest and a latest day, and a meter is covered, or is not, only where both say so.

-- From when to when a document is the one that governs a shipment.
CREATE OR REPLACE VIEW base.in_force AS
SELECT
  d.document_id,
  d.supplier,
  coalesce(d.document_code, d.document_id) AS form,
  coalesce(d.effective_from, '-infinity'::DATE) AS from_day,
  coalesce(e.superseded_on, 'infinity'::DATE) AS to_day,
  e.document_id IS NULL AS undated
FROM main.documents AS d LEFT JOIN main.editions AS e USING (document_id)
WHERE d.supplier IS NOT NULL AND d.status <> 'failed';

-- What a name in the list of meters stands for. `form` NULL is all that the supplier gives, taken where it is one form.
CREATE OR REPLACE VIEW base.named_lines AS
WITH latest AS (
  SELECT * FROM base.meter_matches
  QUALIFY row_number() OVER (
    PARTITION BY kind, lower(supplier_written), lower(coalesce(product_written, '')) ORDER BY match_no DESC
  ) = 1
), forms AS (
  SELECT supplier, count(DISTINCT form) AS forms FROM base.in_force GROUP BY supplier
)
SELECT
  n.name_no,
  n.supplier_written,
  n.product_written,
  s.supplier,
  p.form,
  p.product,
  s.supplier IS NOT NULL AND (p.form IS NOT NULL OR (p.match_no IS NULL AND f.forms = 1)) AS placed,
  p.match_no IS NOT NULL AS product_said,
  CASE
    WHEN s.match_no IS NULL THEN 'supplier_not_matched'
    WHEN s.supplier IS NULL OR f.forms IS NULL THEN 'supplier_not_in_catalogue'
    WHEN p.form IS NULL AND p.match_no IS NOT NULL THEN 'product_not_in_catalogue'
    WHEN p.form IS NULL AND f.forms > 1 THEN 'product_not_matched'
  END AS why_not,
  list_position([
    'supplier_not_matched', 'supplier_not_in_catalogue', 'product_not_in_catalogue', 'product_not_matched'
  ], why_not) AS why_code
FROM base.meter_names AS n
LEFT JOIN latest AS s ON s.kind = 'supplier' AND lower(s.supplier_written) = lower(n.supplier_written)
LEFT JOIN forms AS f ON f.supplier = s.supplier
LEFT JOIN latest AS p ON p.kind = 'product'
  AND lower(p.supplier_written) = lower(n.supplier_written)
  AND lower(p.product_written) = lower(n.product_written);

CREATE OR REPLACE VIEW meters AS
SELECT
  m.line_no,
  m.meter_id,
  n.supplier,
  n.form AS document_code,
  n.product,
  m.size_label,
  m.shipped_on,
  m.installed_on,
  m.reading_usgal,
  m.reading_on,
  m.year_usgal,
  n.supplier_written,
  n.product_written
FROM base.meters AS m LEFT JOIN base.named_lines AS n USING (name_no);

CREATE OR REPLACE VIEW meter_problems AS
SELECT line_no, meter_id, meter_used, kind, column_name, written FROM base.fleet_problems;

CREATE OR REPLACE VIEW bench_tests AS
SELECT line_no, meter_id, tested_on, flow_usgpm, registered_pct, uncertainty_pct, reading_usgal FROM base.bench_tests;

CREATE OR REPLACE VIEW claims AS
SELECT
  claim_no, acted_at, reviewer, action, supplier, meter_id, term_id, document_id, tested_on, flow_usgpm, registered_pct,
  credit_pct, note
FROM base.claims;

-- A promise as the arithmetic wants it, one row a term; spare parts and software are no part of a meter in service. Two clocks at most: a counts from shipment, b from installation;
-- where the clocks are combined into one (`combined`), a counts from what they give. A part of a month has no calendar:
-- the low end leaves it out, the high end takes a whole one.
CREATE OR REPLACE VIEW base.cover_rules AS
WITH clocks AS (
  SELECT
    s.term_id,
    t.start_rule,
    d.date_column,
    bool_or(d.assumed) AS assumed,
    bool_or(d.may_be_earlier) AS earlier,
    floor(CASE t.start_rule WHEN 'later_of' THEN max(s.plus_months) ELSE min(s.plus_months) END)::INTEGER AS plus_low,
    ceil(CASE t.start_rule WHEN 'earlier_of' THEN min(s.plus_months) ELSE max(s.plus_months) END)::INTEGER AS plus_high
  FROM main.starts AS s
  JOIN main.terms AS t ON t.term_id = s.term_id
  JOIN base.event_dates AS d ON d.event = s.event
  GROUP BY s.term_id, t.start_rule, d.date_column
), combined AS (
  SELECT
    term_id,
    bool_or(date_column IS NULL) AS unknown,
    bool_or(assumed) AS assumed,
    bool_or(earlier) AS earlier,
    max(plus_low) FILTER (WHERE date_column = 'shipped_on') AS shipped_low,
    max(plus_high) FILTER (WHERE date_column = 'shipped_on') AS shipped_high,
    max(plus_low) FILTER (WHERE date_column = 'installed_on') AS installed_low,
    max(plus_high) FILTER (WHERE date_column = 'installed_on') AS installed_high
  FROM clocks GROUP BY term_id
), timed AS (
  SELECT
    l.term_id,
    coalesce(t.start_rule, 'single') AS start_rule,
    CASE
      WHEN coalesce(t.start_rule, 'single') <> 'single' OR d.date_column = 'shipped_on' THEN 'a'
      WHEN d.date_column = 'installed_on' THEN 'b'
    END AS clock,
    coalesce(d.assumed, false) AS assumed,
    coalesce(d.may_be_earlier, false) AS earlier,
    CASE t.ends WHEN 'last_of' THEN max(l.months) ELSE min(l.months) END AS months,
    CASE t.ends WHEN 'last_of' THEN max(l.days) ELSE min(l.days) END AS days
  FROM main.limits AS l
  JOIN main.terms AS t ON t.term_id = l.term_id
  LEFT JOIN base.event_dates AS d ON d.event = coalesce(l.start_event, t.start_event)
  WHERE l.kind = 'time'
  GROUP BY l.term_id, t.start_rule, t.ends, d.date_column, d.assumed, d.may_be_earlier
), times AS (
  SELECT
    x.term_id,
    bool_or(clock IS NULL) AS unknown,
    bool_or(assumed) AS assumed,
    bool_or(earlier) AS earlier,
    any_value(x.start_rule) AS start_rule,
    CASE t.ends WHEN 'last_of' THEN max(months) FILTER (WHERE clock = 'a') ELSE min(months) FILTER (WHERE clock = 'a')
    END AS a_months,
    CASE t.ends WHEN 'last_of' THEN max(x.days) FILTER (WHERE clock = 'a') ELSE min(x.days) FILTER (WHERE clock = 'a')
    END AS a_days,
    max(months) FILTER (WHERE clock = 'b') AS b_most, min(months) FILTER (WHERE clock = 'b') AS b_least,
    max(x.days) FILTER (WHERE clock = 'b') AS b_most_days, min(x.days) FILTER (WHERE clock = 'b') AS b_least_days
  FROM timed AS x JOIN main.terms AS t ON t.term_id = x.term_id
  GROUP BY x.term_id, t.ends
), caps AS (
  SELECT l.term_id, CASE t.ends WHEN 'last_of' THEN max(l.usgal) ELSE min(l.usgal) END AS cap_usgal
  FROM main.limits AS l JOIN main.terms AS t ON t.term_id = l.term_id
  WHERE l.kind = 'volume' GROUP BY l.term_id, t.ends
)
SELECT
  t.term_id,
  i.version_no,
  t.document_id,
  t.supplier,
  t.product,
  t.size_label,
  t.component,
  t.promise,
  t.accuracy_level,
  t.state,
  t.ends,
  t.ends = 'last_of' AS latest,
  t.ends = 'life' AS for_life,
  x.term_id IS NOT NULL AS has_time,
  CASE WHEN x.start_rule <> 'single' THEN x.start_rule END AS combined,
  CASE WHEN x.start_rule <> 'single' THEN coalesce(c.unknown, true) ELSE coalesce(x.unknown, false) END AS unknown,
  coalesce(CASE WHEN x.start_rule <> 'single' THEN c.assumed ELSE x.assumed END, false) AS event_assumed,
  coalesce(CASE WHEN x.start_rule <> 'single' THEN c.earlier ELSE x.earlier END, false) AS event_earlier,
  CASE WHEN x.start_rule = 'single' THEN coalesce(c.shipped_low, 0) ELSE c.shipped_low END AS shipped_plus_low,
  CASE WHEN x.start_rule = 'single' THEN coalesce(c.shipped_high, 0) ELSE c.shipped_high END AS shipped_plus_high,
  CASE WHEN x.start_rule = 'single' THEN coalesce(c.installed_low, 0) ELSE c.installed_low END AS installed_plus_low,
  CASE WHEN x.start_rule = 'single' THEN coalesce(c.installed_high, 0) ELSE c.installed_high END AS installed_plus_high,
  floor(x.a_months)::INTEGER AS a_low,
  ceil(x.a_months)::INTEGER AS a_high,
  x.a_days,
  floor(CASE t.ends WHEN 'last_of' THEN x.b_most ELSE x.b_least END)::INTEGER AS b_low,
  ceil(CASE t.ends WHEN 'last_of' THEN x.b_most ELSE x.b_least END)::INTEGER AS b_high,
  CASE t.ends WHEN 'last_of' THEN x.b_most_days ELSE x.b_least_days END AS b_days,
  v.cap_usgal
FROM main.terms AS t
JOIN base.current_terms AS i ON i.term_id = t.term_id
LEFT JOIN times AS x ON x.term_id = t.term_id
LEFT JOIN combined AS c ON c.term_id = t.term_id
LEFT JOIN caps AS v ON v.term_id = t.term_id
WHERE t.state <> 'struck' AND t.component NOT IN ('spare_parts', 'software');

-- What each meter says of its use: what it registers in a year, as one figure and as the range its data support.
CREATE OR REPLACE VIEW base.meter_uses AS
WITH served AS (
  SELECT
    *,
    coalesce(shipped_on, installed_on) AS edition_day,
    coalesce(shipped_on, '-infinity'::DATE) AS shipped_low,
    coalesce(shipped_on, installed_on) AS shipped_high,
    coalesce(installed_on, shipped_on) AS installed_low,
    coalesce(installed_on, 'infinity'::DATE) AS installed_high,
    coalesce(installed_on, shipped_on) AS used_from
  FROM base.meters
), averaged AS (
  SELECT
    *,
    reading_on - used_from AS served_days,
    CASE WHEN reading_on > used_from THEN reading_usgal * 365.25 / (reading_on - used_from) END AS average_usgal
  FROM served
)
SELECT
  *,
  coalesce(year_usgal, average_usgal) AS use_usgal,
  CASE
    WHEN year_usgal IS NULL THEN average_usgal * least(1, served_days / 365.25)
    ELSE least(year_usgal, coalesce(average_usgal, year_usgal))
  END AS least_usgal,
  CASE
    WHEN year_usgal IS NULL THEN average_usgal * greatest(1, 365.25 / served_days)
    ELSE greatest(year_usgal, coalesce(average_usgal, year_usgal))
  END AS most_usgal
FROM averaged;

-- The last day on which a cap is not passed, at a yearly use from a day on; a millionth of a day is rounding.
CREATE OR REPLACE MACRO base.day_of_cap(from_day, left_usgal, a_year_usgal) AS
CASE
  WHEN left_usgal / nullif(a_year_usgal, 0) < 500 THEN
    from_day + floor(left_usgal / nullif(a_year_usgal, 0) * 365.25 + 1e-6)::INTEGER
  WHEN a_year_usgal >= 0 THEN 'infinity'::DATE
END;

-- A day moved by months, of which there are mostly none; and the same where a limit has no months at all. Both only spare
-- the calendar where there is nothing to reckon.
CREATE OR REPLACE MACRO base.moved(day, months) AS CASE WHEN months = 0 THEN day ELSE (day + to_months(months))::DATE END;

CREATE OR REPLACE MACRO base.after(day, months) AS CASE WHEN months IS NOT NULL THEN (day + to_months(months))::DATE END;

-- Words are numbers while millions of rows are reckoned and summed.
CREATE OR REPLACE MACRO base.cap_word(code) AS ['time', 'volume', 'both'][code];

CREATE OR REPLACE MACRO base.doubt_word(code) AS [
  'supplier_not_matched', 'supplier_not_in_catalogue', 'product_not_in_catalogue', 'product_not_matched',
  'no_promise_for_size', 'not_confirmed', 'no_edition_then', 'not_begun', 'no_limit', 'start_unknown',
  'start_conditional', 'installed_on_missing', 'shipped_on_missing', 'part_of_a_month', 'use_unknown', 'reading_needed'
][code];

CREATE OR REPLACE MACRO base.assumed_words(bits) AS nullif(concat_ws(
  ', ',
  CASE WHEN bits & 1 > 0 THEN 'event_date' END,
  CASE WHEN bits & 32 > 0 THEN 'event_may_be_earlier' END,
  CASE WHEN bits & 2 > 0 THEN 'earlier_ends' END,
  CASE WHEN bits & 4 > 0 THEN 'edition_by_installation' END,
  CASE WHEN bits & 8 > 0 THEN 'edition_undated' END,
  CASE WHEN bits & 16 > 0 THEN 'use_since_shipment' END
), '');

CREATE OR REPLACE MACRO base.cover_on(day, include_proposed := false) AS TABLE
WITH promised AS MATERIALIZED (
  SELECT n.name_no, z.size_label AS meter_size, f.from_day, f.to_day, f.undated, r.*
  FROM base.named_lines AS n
  JOIN base.in_force AS f ON f.supplier = n.supplier AND (n.form IS NULL OR n.form = f.form)
  JOIN base.cover_rules AS r
    ON r.document_id = f.document_id AND (r.product IS NULL OR r.product = n.product)
  JOIN (SELECT DISTINCT name_no, size_label FROM base.meters) AS z
    ON z.name_no = n.name_no AND (r.size_label IS NULL OR r.size_label = z.size_label)
  WHERE n.placed AND (r.state <> 'proposed' OR include_proposed)
), sized AS MATERIALIZED (
  SELECT n.name_no, z.size_label AS meter_size, bool_or(r.state <> 'proposed' OR include_proposed) AS usable
  FROM base.named_lines AS n
  JOIN base.in_force AS f ON f.supplier = n.supplier AND (n.form IS NULL OR n.form = f.form)
  JOIN base.cover_rules AS r ON r.document_id = f.document_id AND (r.product IS NULL OR r.product = n.product)
  JOIN (SELECT DISTINCT name_no, size_label FROM base.meters) AS z
    ON z.name_no = n.name_no AND (r.size_label IS NULL OR r.size_label = z.size_label)
  WHERE n.placed
  GROUP BY ALL
), begun AS (
  SELECT
    m.* EXCLUDE (year_usgal, average_usgal),
    p.* EXCLUDE (supplier, size_label, name_no, meter_size, from_day, to_day),
    coalesce(n.supplier, n.supplier_written) AS supplier,
    CASE
      WHEN p.term_id IS NOT NULL THEN NULL
      WHEN NOT n.placed THEN n.why_code
      WHEN s.name_no IS NULL THEN 5
      WHEN NOT s.usable THEN 6
      ELSE 7
    END AS without,
    day::DATE AS on_day,
    CASE
      WHEN combined IS NULL THEN base.moved(m.shipped_low, shipped_plus_low)
      WHEN combined = 'later_of' THEN greatest(
        base.moved(m.shipped_low, shipped_plus_low), base.moved(m.installed_low, installed_plus_low),
        '-infinity'::DATE)
      WHEN unknown THEN '-infinity'::DATE
      ELSE least(base.moved(m.shipped_low, shipped_plus_low), base.moved(m.installed_low, installed_plus_low))
    END AS a_from_low,
    CASE
      WHEN combined IS NULL THEN base.moved(m.shipped_high, shipped_plus_high)
      WHEN combined = 'earlier_of' THEN least(
        base.moved(m.shipped_high, shipped_plus_high), base.moved(m.installed_high, installed_plus_high),
        'infinity'::DATE)
      WHEN unknown THEN 'infinity'::DATE
      ELSE greatest(base.moved(m.shipped_high, shipped_plus_high), base.moved(m.installed_high, installed_plus_high))
    END AS a_from_high,
    base.moved(m.installed_low, installed_plus_low) AS b_from_low,
    base.moved(m.installed_high, installed_plus_high) AS b_from_high
  FROM base.meter_uses AS m
  JOIN base.named_lines AS n ON n.name_no = m.name_no
  LEFT JOIN sized AS s ON s.name_no = m.name_no AND s.meter_size = m.size_label
  LEFT JOIN promised AS p
    ON p.name_no = m.name_no AND p.meter_size = m.size_label
    AND m.edition_day >= p.from_day AND m.edition_day < p.to_day
), clocked AS (
  SELECT
    *,
    CASE
      WHEN NOT has_time THEN shipped_low
      WHEN unknown AND combined IS NULL THEN '-infinity'::DATE
      WHEN combined IS NOT NULL OR coalesce(b_low, b_days) IS NULL THEN a_from_low
      WHEN coalesce(a_low, a_days) IS NULL THEN b_from_low
      ELSE least(a_from_low, b_from_low)
    END AS start_low,
    CASE
      WHEN NOT has_time THEN shipped_high
      WHEN combined IS NOT NULL THEN a_from_high
      WHEN coalesce(a_low, a_days, b_low, b_days) IS NULL THEN 'infinity'::DATE
      WHEN coalesce(b_low, b_days) IS NULL THEN a_from_high
      WHEN coalesce(a_low, a_days) IS NULL THEN b_from_high
      ELSE least(a_from_high, b_from_high)
    END AS start_high,
    CASE
      WHEN for_life THEN 'infinity'::DATE
      WHEN NOT has_time AND cap_usgal IS NULL THEN '-infinity'::DATE
      WHEN NOT has_time THEN NULL
      WHEN latest THEN greatest(
        base.after(a_from_low, a_low), a_from_low + a_days,
        base.after(b_from_low, b_low), b_from_low + b_days,
        CASE WHEN unknown AND combined IS NULL THEN '-infinity'::DATE END)
      WHEN unknown AND combined IS NULL THEN '-infinity'::DATE
      ELSE least(
        base.after(a_from_low, a_low), a_from_low + a_days,
        base.after(b_from_low, b_low), b_from_low + b_days)
    END AS time_low,
    CASE
      WHEN for_life OR (NOT has_time AND cap_usgal IS NULL) THEN 'infinity'::DATE
      WHEN NOT has_time THEN NULL
      WHEN latest AND unknown AND combined IS NULL THEN 'infinity'::DATE
      WHEN latest THEN greatest(
        base.after(a_from_high, a_high), a_from_high + a_days,
        base.after(b_from_high, b_high), b_from_high + b_days)
      ELSE least(
        base.after(a_from_high, a_high), a_from_high + a_days,
        base.after(b_from_high, b_high), b_from_high + b_days,
        CASE WHEN unknown AND combined IS NULL THEN 'infinity'::DATE END)
    END AS time_high,
    CASE
      WHEN cap_usgal IS NULL OR for_life THEN NULL
      WHEN reading_usgal > cap_usgal THEN
        least(used_from + floor(served_days * (cap_usgal / reading_usgal) + 1e-6)::INTEGER, reading_on - 1)
      WHEN reading_usgal IS NOT NULL THEN base.day_of_cap(reading_on, cap_usgal - reading_usgal, use_usgal)
      ELSE base.day_of_cap(used_from, cap_usgal, use_usgal)
    END AS volume_at,
    CASE
      WHEN cap_usgal IS NULL OR for_life THEN NULL
      WHEN reading_usgal > cap_usgal THEN least(used_from, reading_on - 1)
      WHEN reading_usgal IS NOT NULL THEN
        coalesce(base.day_of_cap(reading_on, cap_usgal - reading_usgal, most_usgal), reading_on)
      ELSE coalesce(base.day_of_cap(used_from, cap_usgal, most_usgal), '-infinity'::DATE)
    END AS volume_low,
    CASE
      WHEN cap_usgal IS NULL OR for_life THEN NULL
      WHEN reading_usgal > cap_usgal THEN reading_on - 1
      WHEN reading_usgal IS NOT NULL THEN
        coalesce(base.day_of_cap(reading_on, cap_usgal - reading_usgal, least_usgal), 'infinity'::DATE)
      ELSE coalesce(base.day_of_cap(used_from, cap_usgal, least_usgal), 'infinity'::DATE)
    END AS volume_high,
    CASE
      WHEN reading_usgal IS NULL THEN use_usgal / 365.25 * greatest(0, on_day - used_from)
      WHEN on_day >= reading_on THEN reading_usgal + coalesce(use_usgal, 0) / 365.25 * (on_day - reading_on)
      WHEN served_days > 0 THEN reading_usgal * greatest(0, on_day - used_from) / served_days
    END AS used_usgal
  FROM begun
), ended AS (
  SELECT
    *,
    CASE WHEN latest THEN greatest(time_low, volume_low) ELSE least(time_low, volume_low) END AS end_low,
    CASE WHEN latest THEN greatest(time_high, volume_high) ELSE least(time_high, volume_high) END AS end_high,
    CASE
      WHEN NOT isfinite(time_low) AND NOT for_life THEN NULL
      WHEN cap_usgal IS NULL OR for_life THEN time_low
      WHEN volume_at IS NULL THEN NULL
      WHEN latest THEN greatest(time_low, volume_at)
      ELSE least(time_low, volume_at)
    END AS end_at
  FROM clocked
), judged AS (
  SELECT
    *,
    CASE
      WHEN term_id IS NULL THEN NULL
      WHEN on_day > end_high OR on_day < start_low THEN false
      WHEN on_day <= end_low AND on_day >= start_high THEN true
    END AS covered
  FROM ended
)
SELECT
  *,
  CASE
    WHEN end_at IS NULL OR NOT isfinite(end_at) THEN
      CASE WHEN NOT covered AND on_day > time_high AND NOT latest THEN 1 END
    WHEN time_low = volume_at THEN 3
    WHEN end_at = volume_at THEN 2
    ELSE 1
  END AS cap_code,
  CASE
    WHEN term_id IS NULL THEN without
    WHEN covered OR (NOT covered AND on_day >= start_low) THEN NULL
    WHEN NOT covered THEN 8
    WHEN NOT has_time AND cap_usgal IS NULL AND NOT for_life THEN 9
    WHEN has_time AND on_day <= time_high AND (on_day > time_low OR on_day < start_high) THEN
      CASE
        WHEN unknown THEN 10
        WHEN combined = 'conditional' AND shipped_on IS NOT NULL AND installed_on IS NOT NULL THEN 11
        WHEN installed_on IS NULL THEN 12
        WHEN shipped_on IS NULL THEN 13
        WHEN combined = 'conditional' THEN 11
        ELSE 14
      END
    WHEN on_day < start_high THEN 13
    WHEN reading_usgal IS NULL AND use_usgal IS NULL THEN 15
    ELSE 16
  END AS doubt_code,
  CASE WHEN term_id IS NULL THEN 0 ELSE
    CASE WHEN event_assumed THEN 1 ELSE 0 END + CASE WHEN ends = 'unstated' THEN 2 ELSE 0 END
    + CASE WHEN shipped_on IS NULL THEN 4 ELSE 0 END + CASE WHEN undated THEN 8 ELSE 0 END
    + CASE WHEN cap_usgal IS NOT NULL AND installed_on IS NULL THEN 16 ELSE 0 END
    + CASE WHEN event_earlier THEN 32 ELSE 0 END
  END AS assumed_bits
FROM judged;

-- Every promise of every meter on a day: SELECT * FROM meter_cover_on(DATE '2026-07-01').
CREATE OR REPLACE MACRO meter_cover_on(day, include_proposed := false) AS TABLE
SELECT
  line_no,
  meter_id,
  supplier,
  size_label,
  shipped_on,
  installed_on,
  term_id,
  document_id,
  component,
  promise,
  accuracy_level,
  product,
  state,
  ends,
  CASE WHEN term_id IS NOT NULL AND start_low = start_high THEN start_low END AS starts_on,
  CASE WHEN isfinite(time_low) THEN time_low END AS ends_by_time,
  CASE WHEN isfinite(volume_at) THEN volume_at END AS ends_by_volume,
  CASE WHEN isfinite(end_at) THEN end_at END AS ends_on,
  CASE WHEN isfinite(end_low) THEN end_low END AS ends_on_earliest,
  CASE WHEN isfinite(end_high) THEN end_high END AS ends_on_latest,
  base.cap_word(cap_code) AS ending_cap,
  covered,
  base.doubt_word(doubt_code) AS doubt,
  CASE WHEN isfinite(time_low) AND on_day <= time_low THEN
    (datediff('month', on_day, time_low)
      - CASE WHEN (on_day + to_months(datediff('month', on_day, time_low)::INTEGER))::DATE > time_low THEN 1 ELSE 0 END
    )::INTEGER
  END AS left_months,
  CASE WHEN used_usgal <= cap_usgal THEN round(cap_usgal - used_usgal, 1) WHEN used_usgal > cap_usgal THEN 0 END
    AS left_usgal,
  base.assumed_words(assumed_bits) AS assumed
FROM base.cover_on(day, include_proposed := include_proposed);

CREATE OR REPLACE VIEW meter_cover AS SELECT * FROM meter_cover_on(current_date);

-- How many meters have a promise, by supplier, size and year of shipment: SELECT * FROM meter_totals_on(DATE '2026-07-01').
CREATE OR REPLACE MACRO meter_totals_on(day, include_proposed := false) AS TABLE
SELECT
  supplier,
  size_label,
  year(shipped_on)::INTEGER AS shipped_year,
  component,
  promise,
  accuracy_level,
  count(*) AS meters,
  count(*) FILTER (WHERE covered) AS covered,
  count(*) FILTER (WHERE NOT covered AND ending_cap IN ('time', 'both')) AS ended_by_time,
  count(*) FILTER (WHERE NOT covered AND ending_cap = 'volume') AS ended_by_volume,
  count(*) FILTER (WHERE NOT covered AND doubt = 'not_begun') AS not_begun,
  count(*) FILTER (WHERE covered IS NULL) AS cannot_tell,
  count(*) FILTER (WHERE state = 'proposed') AS unconfirmed
FROM meter_cover_on(day, include_proposed := include_proposed)
GROUP BY ALL;

CREATE OR REPLACE VIEW meter_totals AS SELECT * FROM meter_totals_on(current_date);
