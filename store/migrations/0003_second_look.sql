-- What a second person decided without seeing what the first one did. Rows are like those of base.decisions and are
-- counted by themselves; nothing here shows in the catalogue until a difference is settled by a decision.
CREATE TABLE base.second_acts (
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

CREATE TABLE base.second_taken_back (decision_no BIGINT PRIMARY KEY, by_decision_no BIGINT NOT NULL);
