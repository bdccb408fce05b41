import type { Migration } from './migration.ts';

/**
 * The evidence and what finds it. Nothing here can be updated, deleted, replaced or upserted: every table gets
 * the triggers below. `INSERT OR REPLACE` removes the old row without firing a delete trigger unless
 * recursive_triggers is on, which each program decides for itself; so the insert triggers look for the old row.
 */
const tables = `
CREATE TABLE event (
  sequence INTEGER PRIMARY KEY,
  stream TEXT NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0),
  kind TEXT NOT NULL,
  at TEXT NOT NULL,
  person_id TEXT,
  body TEXT NOT NULL,
  previous_hash BLOB NOT NULL CHECK (length(previous_hash) = 32),
  hash BLOB NOT NULL CHECK (length(hash) = 32)
) STRICT;
CREATE UNIQUE INDEX event_by_stream ON event (stream, version);

CREATE TABLE seal (
  sequence INTEGER PRIMARY KEY REFERENCES event (sequence),
  stream TEXT NOT NULL,
  key_id TEXT NOT NULL,
  signature BLOB NOT NULL CHECK (length(signature) = 64),
  link BLOB NOT NULL CHECK (length(link) = 32)
) STRICT;

CREATE TABLE document (
  hash BLOB NOT NULL PRIMARY KEY CHECK (length(hash) = 32),
  kind TEXT NOT NULL,
  body TEXT NOT NULL
) STRICT;
CREATE INDEX document_by_kind ON document (kind);

CREATE TABLE job (
  job_id TEXT NOT NULL PRIMARY KEY,
  serial TEXT NOT NULL,
  head_id TEXT NOT NULL,
  person_id TEXT,
  opened_at TEXT NOT NULL,
  sequence INTEGER NOT NULL UNIQUE REFERENCES event (sequence)
) STRICT;
CREATE INDEX job_by_serial ON job (serial, sequence);
CREATE INDEX job_by_head ON job (head_id, sequence);
CREATE INDEX job_by_person ON job (person_id, sequence);
CREATE INDEX job_by_date ON job (opened_at);

-- A released job may be voided later: the newest row counts.
CREATE TABLE job_end (
  sequence INTEGER PRIMARY KEY REFERENCES event (sequence),
  job_id TEXT NOT NULL REFERENCES job (job_id),
  phase TEXT NOT NULL,
  at TEXT NOT NULL
) STRICT;
CREATE INDEX job_end_by_job ON job_end (job_id, sequence);
CREATE INDEX job_end_by_phase ON job_end (phase, sequence);

CREATE TABLE capture (
  sequence INTEGER PRIMARY KEY REFERENCES event (sequence),
  capture_id TEXT NOT NULL UNIQUE,
  job_id TEXT NOT NULL REFERENCES job (job_id),
  serial TEXT NOT NULL,
  head_id TEXT NOT NULL,
  step_id TEXT NOT NULL,
  quantity TEXT NOT NULL,
  instrument_id TEXT NOT NULL,
  certificate_hash TEXT,
  decision TEXT,
  person_id TEXT,
  at TEXT NOT NULL
) STRICT;
CREATE INDEX capture_by_job ON capture (job_id);
CREATE INDEX capture_by_serial ON capture (serial);
CREATE INDEX capture_by_head ON capture (head_id, quantity);
CREATE INDEX capture_by_instrument ON capture (instrument_id);
CREATE INDEX capture_by_certificate ON capture (certificate_hash) WHERE certificate_hash IS NOT NULL;
CREATE INDEX capture_by_decision ON capture (decision);
CREATE INDEX capture_by_person ON capture (person_id);
CREATE INDEX capture_by_date ON capture (at);

CREATE TABLE consumption (
  sequence INTEGER NOT NULL REFERENCES event (sequence),
  lot_id TEXT NOT NULL,
  job_id TEXT NOT NULL REFERENCES job (job_id),
  at TEXT NOT NULL,
  PRIMARY KEY (sequence, lot_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX consumption_by_lot ON consumption (lot_id, sequence);
CREATE INDEX consumption_by_job ON consumption (job_id);

CREATE TABLE record (
  sequence INTEGER PRIMARY KEY REFERENCES event (sequence),
  job_id TEXT NOT NULL REFERENCES job (job_id),
  revision INTEGER NOT NULL CHECK (revision > 0),
  serial TEXT NOT NULL,
  body TEXT NOT NULL,
  hash BLOB NOT NULL CHECK (length(hash) = 32),
  key_id TEXT NOT NULL,
  signature BLOB NOT NULL CHECK (length(signature) = 64),
  UNIQUE (job_id, revision)
) STRICT;
CREATE INDEX record_by_serial ON record (serial, sequence);

-- No evidence: the list of jobs at the bench, kept so that a start needs no scan; rebuilt when it disagrees.
CREATE TABLE open_job (job_id TEXT NOT NULL PRIMARY KEY) STRICT, WITHOUT ROWID;
`;

/** Table and the condition under which a new row meets an old one. */
const identities: readonly (readonly [string, string])[] = [
  ['event', 'sequence = NEW.sequence OR (stream = NEW.stream AND version = NEW.version)'],
  ['seal', 'sequence = NEW.sequence'],
  ['document', 'hash = NEW.hash'],
  ['job', 'job_id = NEW.job_id OR sequence = NEW.sequence'],
  ['job_end', 'sequence = NEW.sequence'],
  ['capture', 'sequence = NEW.sequence OR capture_id = NEW.capture_id'],
  ['consumption', 'sequence = NEW.sequence AND lot_id = NEW.lot_id'],
  ['record', 'sequence = NEW.sequence OR (job_id = NEW.job_id AND revision = NEW.revision)'],
];

function triggersOf([table, meets]: readonly [string, string]): string {
  return `
CREATE TRIGGER ${table}_keeps_rows BEFORE DELETE ON ${table}
BEGIN SELECT RAISE(ABORT, '${table}: evidence is not deleted'); END;
CREATE TRIGGER ${table}_keeps_values BEFORE UPDATE ON ${table}
BEGIN SELECT RAISE(ABORT, '${table}: evidence is not changed'); END;
CREATE TRIGGER ${table}_is_new BEFORE INSERT ON ${table}
WHEN EXISTS (SELECT 1 FROM ${table} WHERE ${meets})
BEGIN SELECT RAISE(ABORT, '${table}: evidence is not replaced'); END;`;
}

/** The chain has no gaps and no branches, whoever writes. */
const chainTriggers = `
CREATE TRIGGER event_follows BEFORE INSERT ON event
WHEN NEW.sequence <> (SELECT coalesce(max(sequence), 0) + 1 FROM event)
  OR NEW.previous_hash <> coalesce((SELECT hash FROM event WHERE sequence = NEW.sequence - 1), zeroblob(32))
  OR NEW.version <> (SELECT coalesce(max(version), 0) + 1 FROM event WHERE stream = NEW.stream)
BEGIN SELECT RAISE(ABORT, 'event: does not follow the chain'); END;
CREATE TRIGGER seal_follows BEFORE INSERT ON seal
WHEN NEW.sequence <= (SELECT coalesce(max(sequence), 0) FROM seal)
BEGIN SELECT RAISE(ABORT, 'seal: does not follow the chain'); END;`;

export const evidence: Migration = {
  version: 1,
  sql: tables + identities.map(triggersOf).join('') + chainTriggers,
};
