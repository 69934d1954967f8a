-- Where a document's file was last seen, so that its pages can be shown: below the catalogue's folder as a path from
-- there, so that both can be moved together, otherwise as a full path. Appended; the last row of a document holds.
CREATE TABLE base.files (
  file_no BIGINT PRIMARY KEY,
  document_id VARCHAR NOT NULL,
  path VARCHAR NOT NULL,
  seen_at TIMESTAMPTZ NOT NULL
);
