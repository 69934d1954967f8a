-- What was made of each bench test when its list was last gone through, one row a line. `term_id` is the promise that
-- decided; `ended_on` the last day of a cover that had ended, by `ended_by`.
CREATE TABLE base.bench_findings (
  line_no BIGINT NOT NULL,
  call VARCHAR NOT NULL,
  term_id VARCHAR,
  limit_pct DOUBLE,
  outside_share DOUBLE,
  ended_by VARCHAR,
  ended_on DATE,
  why VARCHAR
);
