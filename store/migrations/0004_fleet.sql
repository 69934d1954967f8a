-- The utility's own meters as its list told them last, and what was wrong with the list. Written whole with each list:
-- they are no proposals and no person decided about them here. `name_no` stands for one pair of supplier and product.
CREATE TABLE base.fleets (
  fleet_no BIGINT PRIMARY KEY,
  imported_at TIMESTAMPTZ NOT NULL,
  file_name VARCHAR NOT NULL,
  lines BIGINT NOT NULL,
  meters BIGINT NOT NULL,
  settings VARCHAR NOT NULL
);

CREATE TABLE base.meters (
  line_no BIGINT NOT NULL,
  meter_id VARCHAR NOT NULL,
  name_no INTEGER NOT NULL,
  size_label VARCHAR,
  shipped_on DATE,
  installed_on DATE,
  reading_usgal DOUBLE,
  reading_on DATE,
  year_usgal DOUBLE
);

CREATE TABLE base.meter_names (
  name_no INTEGER NOT NULL,
  supplier_written VARCHAR NOT NULL,
  product_written VARCHAR,
  meters BIGINT NOT NULL
);

-- `meter_used` is false where the whole line was left out, true where only the value was.
CREATE TABLE base.fleet_problems (
  line_no BIGINT NOT NULL,
  meter_id VARCHAR,
  meter_used BOOLEAN NOT NULL,
  kind VARCHAR NOT NULL,
  column_name VARCHAR,
  written VARCHAR
);

-- Which supplier and which line of the catalogue a name in a list of meters stands for. Appended; the last row of a
-- name holds. `form` is a document's code, or its id where it has none; NULL says that nothing of the catalogue is meant.
CREATE TABLE base.meter_matches (
  match_no BIGINT PRIMARY KEY,
  matched_at TIMESTAMPTZ NOT NULL,
  reviewer VARCHAR NOT NULL,
  kind VARCHAR NOT NULL,
  supplier_written VARCHAR NOT NULL,
  product_written VARCHAR,
  supplier VARCHAR,
  form VARCHAR,
  product VARCHAR,
  score DOUBLE
);

-- Bench tests as the last list of them told; flows as US gallons a minute, what was registered as per cent of true
-- volume, `uncertainty_pct` in points of it.
CREATE TABLE base.bench_tests (
  line_no BIGINT NOT NULL,
  meter_id VARCHAR NOT NULL,
  tested_on DATE NOT NULL,
  flow_usgpm DOUBLE NOT NULL,
  registered_pct DOUBLE NOT NULL,
  uncertainty_pct DOUBLE,
  reading_usgal DOUBLE
);

-- What was claimed; rows are only ever added. `action` is prepared, sent, paid, refused or withdrawn.
CREATE TABLE base.claims (
  claim_no BIGINT PRIMARY KEY,
  acted_at TIMESTAMPTZ NOT NULL,
  reviewer VARCHAR NOT NULL,
  action VARCHAR NOT NULL,
  supplier VARCHAR NOT NULL,
  meter_id VARCHAR NOT NULL,
  term_id VARCHAR NOT NULL,
  document_id VARCHAR NOT NULL,
  tested_on DATE,
  flow_usgpm DOUBLE,
  registered_pct DOUBLE,
  credit_pct DOUBLE,
  note VARCHAR
);

-- From which date of a meter an event of the documents is counted; put in from the schema.
CREATE TABLE base.event_dates (event VARCHAR NOT NULL, date_column VARCHAR, assumed BOOLEAN NOT NULL);
