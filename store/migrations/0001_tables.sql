-- The tables under the public views. Rows are appended and never changed: a version holds a term or a document as one
-- reading proposed it or one decision left it; `standing` says which version shows, its last row for an item deciding.
-- Decimals are kept as text, so that nothing of them is lost; the views turn them into doubles.

CREATE SCHEMA base;

CREATE TABLE base.migrations (
  number INTEGER PRIMARY KEY,
  name VARCHAR NOT NULL,
  applied_at TIMESTAMPTZ NOT NULL,
  release VARCHAR NOT NULL
);

-- What is put into the file as a whole (views, standards, sizes) and the digest of what was put there last.
CREATE TABLE base.installed (name VARCHAR NOT NULL, digest VARCHAR NOT NULL);

CREATE TABLE base.readings (
  reading_no BIGINT PRIMARY KEY,
  document_id VARCHAR NOT NULL,
  read_at TIMESTAMPTZ NOT NULL,
  reader VARCHAR NOT NULL,
  settings VARCHAR NOT NULL,
  file_name VARCHAR NOT NULL,
  pages INTEGER,
  text_source VARCHAR,
  supplier_given VARCHAR,
  digest VARCHAR NOT NULL,
  error VARCHAR,
  message VARCHAR,
  error_page INTEGER
);

CREATE TABLE base.warnings (
  reading_no BIGINT NOT NULL,
  warning_no INTEGER NOT NULL,
  term_id VARCHAR,
  kind VARCHAR NOT NULL,
  page INTEGER,
  message VARCHAR NOT NULL
);

CREATE TABLE base.document_versions (
  version_no BIGINT PRIMARY KEY,
  document_id VARCHAR NOT NULL,
  reading_no BIGINT,
  decision_no BIGINT,
  supplier VARCHAR,
  title VARCHAR,
  document_code VARCHAR,
  revision VARCHAR,
  effective_from DATE,
  region VARCHAR
);

CREATE TABLE base.clauses (
  version_no BIGINT NOT NULL,
  clause_no INTEGER NOT NULL,
  family VARCHAR NOT NULL,
  kind VARCHAR NOT NULL,
  days INTEGER,
  quote VARCHAR NOT NULL
);

CREATE TABLE base.term_versions (
  version_no BIGINT PRIMARY KEY,
  term_id VARCHAR NOT NULL,
  document_id VARCHAR NOT NULL,
  place INTEGER NOT NULL,
  reading_no BIGINT,
  decision_no BIGINT,
  product VARCHAR,
  meter_type VARCHAR,
  size_label VARCHAR,
  component VARCHAR NOT NULL,
  variant VARCHAR,
  promise VARCHAR NOT NULL,
  accuracy_level VARCHAR,
  duration_months VARCHAR,
  full_months VARCHAR,
  duration_days INTEGER,
  duration_text VARCHAR,
  start_event VARCHAR,
  start_rule VARCHAR,
  volume_cap_usgal VARCHAR,
  volume_cap_text VARCHAR,
  ends VARCHAR NOT NULL,
  life_of VARCHAR,
  remedy VARCHAR,
  confidence DOUBLE NOT NULL
);

CREATE TABLE base.limits (
  version_no BIGINT NOT NULL,
  limit_no INTEGER NOT NULL,
  kind VARCHAR NOT NULL,
  months VARCHAR,
  days INTEGER,
  usgal VARCHAR,
  start_event VARCHAR,
  limit_text VARCHAR NOT NULL
);

CREATE TABLE base.starts (
  version_no BIGINT NOT NULL,
  start_no INTEGER NOT NULL,
  event VARCHAR NOT NULL,
  plus_months VARCHAR NOT NULL,
  start_text VARCHAR NOT NULL
);

-- `resolved` rows are what the standard named by the band `band_no` asks of this meter; they show in its place.
CREATE TABLE base.bands (
  version_no BIGINT NOT NULL,
  band_no INTEGER NOT NULL,
  resolved BOOLEAN NOT NULL,
  flow_role VARCHAR,
  flow_from_usgpm VARCHAR,
  flow_to_usgpm VARCHAR,
  lower_pct VARCHAR,
  upper_pct VARCHAR,
  basis VARCHAR NOT NULL,
  band_text VARCHAR NOT NULL
);

CREATE TABLE base.credits (
  version_no BIGINT NOT NULL,
  credit_no INTEGER NOT NULL,
  from_month VARCHAR NOT NULL,
  to_month VARCHAR NOT NULL,
  customer_pays_pct VARCHAR NOT NULL,
  price_basis VARCHAR NOT NULL,
  credit_text VARCHAR NOT NULL
);

CREATE TABLE base.alternatives (
  version_no BIGINT NOT NULL,
  alternative_no INTEGER NOT NULL,
  field VARCHAR NOT NULL,
  value VARCHAR NOT NULL,
  quote VARCHAR NOT NULL,
  why_not VARCHAR NOT NULL
);

-- One row per box, or one row without a box. `clause_no` ties a row to a clause of a document's version.
CREATE TABLE base.evidence (
  version_no BIGINT NOT NULL,
  clause_no INTEGER,
  evidence_no INTEGER NOT NULL,
  box_no INTEGER NOT NULL,
  field VARCHAR NOT NULL,
  page INTEGER,
  x0 DOUBLE,
  top DOUBLE,
  x1 DOUBLE,
  bottom DOUBLE,
  quote VARCHAR NOT NULL,
  pattern VARCHAR NOT NULL,
  confidence DOUBLE NOT NULL
);

-- `version_no` NULL takes the item out of sight: the latest reading no longer proposes it and no person decided it.
CREATE TABLE base.standing (
  standing_no BIGINT PRIMARY KEY,
  item_id VARCHAR NOT NULL,
  document_id VARCHAR NOT NULL,
  version_no BIGINT,
  state VARCHAR,
  reading_no BIGINT,
  decision_no BIGINT
);

-- `base_version` is the proposal a decision was made over.
CREATE TABLE base.decisions (
  decision_no BIGINT PRIMARY KEY,
  decided_at TIMESTAMPTZ NOT NULL,
  reviewer VARCHAR NOT NULL,
  item_id VARCHAR NOT NULL,
  document_id VARCHAR NOT NULL,
  field VARCHAR,
  action VARCHAR NOT NULL,
  old_value VARCHAR,
  new_value VARCHAR,
  note VARCHAR,
  base_version BIGINT
);

CREATE TABLE base.taken_back (decision_no BIGINT PRIMARY KEY, by_decision_no BIGINT NOT NULL);

CREATE TABLE base.baselines (
  row_no INTEGER NOT NULL,
  standard VARCHAR NOT NULL,
  edition VARCHAR,
  meter_type VARCHAR,
  size_label VARCHAR,
  condition VARCHAR NOT NULL,
  flow_role VARCHAR NOT NULL,
  flow_from_usgpm VARCHAR,
  flow_to_usgpm VARCHAR,
  lower_pct VARCHAR,
  upper_pct VARCHAR,
  source VARCHAR NOT NULL,
  certainty VARCHAR NOT NULL
);

CREATE TABLE base.sizes (size_label VARCHAR NOT NULL, nominal_mm INTEGER NOT NULL, nominal_inch VARCHAR);
