-- The evidence of many stations. Run as bandwright_owner, in a schema of its own.
--
-- Only functions write. A bench may call push(), chain_position() and published_since(); it has no right on any table.
-- Nothing that was written is changed or removed, whoever asks: triggers refuse it, the owner's own statements too.
-- Instants are kept as the station wrote them (text); index tables have them as timestamptz.

CREATE TABLE bench (
  bench_id text PRIMARY KEY CHECK (bench_id ~ '^[A-Za-z0-9][A-Za-z0-9._-]{0,79}$'),
  login name NOT NULL UNIQUE,
  added_at timestamptz NOT NULL DEFAULT now(),
  added_by name NOT NULL DEFAULT session_user
);

-- What a person decided about a chain that was refused: a fork may go on as a branch, a bench may begin another chain.
CREATE TABLE settlement (
  settlement_id integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  bench_id text NOT NULL REFERENCES bench,
  station_id text NOT NULL,
  -- The last event that both branches have; 0 for a chain that begins anew.
  forked_after bigint NOT NULL CHECK (forked_after >= 0),
  person text NOT NULL CHECK (length(person) BETWEEN 1 AND 200),
  reason text NOT NULL CHECK (length(reason) BETWEEN 1 AND 2000),
  settled_at timestamptz NOT NULL DEFAULT now(),
  settled_by name NOT NULL DEFAULT session_user
);

-- A chain is named by a number in the large tables: 4 bytes instead of a name of 36.
CREATE TABLE chain (
  chain_id integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
  bench_id text NOT NULL REFERENCES bench,
  station_id text NOT NULL,
  branch integer NOT NULL CHECK (branch > 0),
  -- A branch holds its own events alone; those up to forked_after are its parent's.
  parent_chain_id integer REFERENCES chain,
  forked_after bigint NOT NULL CHECK (forked_after >= 0),
  settlement_id integer UNIQUE REFERENCES settlement,
  begun_at timestamptz NOT NULL DEFAULT now(),
  UNIQUE (station_id, branch),
  CHECK ((parent_chain_id IS NULL) = (forked_after = 0))
);
CREATE INDEX chain_by_bench ON chain (bench_id, chain_id);

-- The end of each chain: the one row that a push locks and moves on.
CREATE TABLE chain_head (
  chain_id integer PRIMARY KEY REFERENCES chain,
  sequence bigint NOT NULL,
  hash bytea NOT NULL CHECK (length(hash) = 32),
  seal_link bytea NOT NULL CHECK (length(seal_link) = 32),
  received_at timestamptz NOT NULL
);

-- period: the month in which the job of a stream job/… or record/… was opened, so that a job lies whole in one
-- partition, however late it is amended; for every other stream the month of the event.
CREATE TABLE event (
  period date NOT NULL,
  chain_id integer NOT NULL,
  version integer NOT NULL CHECK (version > 0),
  sequence bigint NOT NULL CHECK (sequence > 0),
  received_at timestamptz NOT NULL,
  stream text NOT NULL,
  kind text NOT NULL,
  at text NOT NULL,
  person_id text,
  previous_hash bytea NOT NULL CHECK (length(previous_hash) = 32),
  hash bytea NOT NULL CHECK (length(hash) = 32),
  body text NOT NULL,
  PRIMARY KEY (chain_id, sequence, period)
) PARTITION BY RANGE (period);
CREATE UNIQUE INDEX event_by_stream ON event (chain_id, stream, version, period);

CREATE TABLE seal (
  period date NOT NULL,
  chain_id integer NOT NULL,
  sequence bigint NOT NULL,
  stream text NOT NULL,
  key_id text NOT NULL,
  signature bytea NOT NULL CHECK (length(signature) = 64),
  link bytea NOT NULL CHECK (length(link) = 32),
  PRIMARY KEY (chain_id, sequence, period)
) PARTITION BY RANGE (period);

CREATE TABLE record (
  period date NOT NULL,
  chain_id integer NOT NULL,
  revision integer NOT NULL CHECK (revision > 0),
  sequence bigint NOT NULL,
  job_id text NOT NULL,
  serial text NOT NULL,
  key_id text NOT NULL,
  hash bytea NOT NULL CHECK (length(hash) = 32),
  signature bytea NOT NULL CHECK (length(signature) = 64),
  body text NOT NULL,
  PRIMARY KEY (chain_id, sequence, period)
) PARTITION BY RANGE (period);
CREATE UNIQUE INDEX record_by_job ON record (chain_id, job_id, revision, period);

-- Once for the whole site, whichever stations have it: profiles and sheets are the same everywhere.
CREATE TABLE document (
  hash bytea NOT NULL CHECK (length(hash) = 32),
  kind text NOT NULL,
  body text NOT NULL,
  PRIMARY KEY (hash, kind)
);

-- What finds evidence. Derived from the bodies by push() itself, never taken from a client; by year.
CREATE TABLE job (
  opened_at timestamptz NOT NULL,
  sequence bigint NOT NULL,
  chain_id integer NOT NULL,
  period date NOT NULL,
  job_id text NOT NULL,
  serial text NOT NULL,
  head_id text NOT NULL,
  person_id text,
  PRIMARY KEY (chain_id, job_id, opened_at)
) PARTITION BY RANGE (opened_at);
CREATE INDEX job_by_serial ON job (serial, opened_at);
CREATE INDEX job_by_head ON job (head_id, opened_at);
CREATE INDEX job_by_person ON job (person_id, opened_at);
CREATE INDEX job_by_date ON job (opened_at);

CREATE TABLE job_end (
  at timestamptz NOT NULL,
  sequence bigint NOT NULL,
  chain_id integer NOT NULL,
  job_id text NOT NULL,
  phase text NOT NULL,
  PRIMARY KEY (chain_id, job_id, sequence, at)
) PARTITION BY RANGE (at);

CREATE TABLE capture (
  at timestamptz NOT NULL,
  sequence bigint NOT NULL,
  chain_id integer NOT NULL,
  capture_id text NOT NULL,
  job_id text NOT NULL,
  serial text NOT NULL,
  head_id text NOT NULL,
  step_id text NOT NULL,
  quantity text NOT NULL,
  instrument_id text NOT NULL,
  certificate_hash text,
  decision text,
  person_id text,
  PRIMARY KEY (chain_id, job_id, sequence, at)
) PARTITION BY RANGE (at);
CREATE INDEX capture_by_head ON capture (head_id, quantity, at);
CREATE INDEX capture_by_instrument ON capture (instrument_id, at);
CREATE INDEX capture_by_certificate ON capture (certificate_hash, at) WHERE certificate_hash IS NOT NULL;
-- Nearly all pass: that is looked for by date.
CREATE INDEX capture_by_decision ON capture (decision, at) WHERE decision <> 'pass';
CREATE INDEX capture_by_person ON capture (person_id, at);
-- Rows come nearly in the order of time: a summary of each block range is a thousandth of a tree.
CREATE INDEX capture_by_date ON capture USING brin (at);

CREATE TABLE consumption (
  at timestamptz NOT NULL,
  sequence bigint NOT NULL,
  chain_id integer NOT NULL,
  lot_id text NOT NULL,
  job_id text NOT NULL,
  PRIMARY KEY (chain_id, sequence, lot_id, at)
) PARTITION BY RANGE (at);
CREATE INDEX consumption_by_lot ON consumption (lot_id, at);

-- Pushes that were refused, for those who watch the site.
CREATE TABLE refused_push (
  refused_at timestamptz NOT NULL DEFAULT clock_timestamp(),
  login name NOT NULL,
  station_id text NOT NULL,
  reason text NOT NULL,
  detail text NOT NULL
);
CREATE INDEX refused_push_by_time ON refused_push (refused_at);

-- Where no partition was made yet (a clock that is far off): nothing is lost, and the monitoring shows it.
CREATE TABLE event_else PARTITION OF event DEFAULT;
CREATE TABLE seal_else PARTITION OF seal DEFAULT;
CREATE TABLE record_else PARTITION OF record DEFAULT;
CREATE TABLE job_else PARTITION OF job DEFAULT;
CREATE TABLE job_end_else PARTITION OF job_end DEFAULT;
CREATE TABLE capture_else PARTITION OF capture DEFAULT;
CREATE TABLE consumption_else PARTITION OF consumption DEFAULT;

-- Makes the partitions of a stretch of time, months and years, where they are missing. Returns how many it made. A month
-- of which rows lie in the partition for everything else stays there: they are not moved, and reads find them.
CREATE FUNCTION extend_periods(from_day date, until_day date) RETURNS integer
LANGUAGE plpgsql SET search_path = bandwright, pg_temp AS $$
DECLARE
  parent text;
  first date;
  made integer := 0;
BEGIN
  FOREACH parent IN ARRAY ARRAY['event', 'seal', 'record'] LOOP
    first := date_trunc('month', from_day)::date;
    WHILE first < until_day LOOP
      made := made + make_partition(parent, 'period', to_char(first, 'YYYY_MM'), first::text, (first + interval '1 month')::date::text);
      first := (first + interval '1 month')::date;
    END LOOP;
  END LOOP;
  FOREACH parent IN ARRAY ARRAY['job', 'job_end', 'capture', 'consumption'] LOOP
    first := date_trunc('year', from_day)::date;
    WHILE first < until_day LOOP
      made := made + make_partition(parent, CASE parent WHEN 'job' THEN 'opened_at' ELSE 'at' END, to_char(first, 'YYYY'), first || ' 00:00:00+00', (first + interval '1 year')::date || ' 00:00:00+00');
      first := (first + interval '1 year')::date;
    END LOOP;
  END LOOP;
  RETURN made;
END $$;

CREATE FUNCTION make_partition(parent text, key text, suffix text, lower_bound text, upper_bound text) RETURNS integer
LANGUAGE plpgsql SET search_path = bandwright, pg_temp AS $$
DECLARE
  is_begun boolean;
BEGIN
  IF to_regclass('bandwright.' || parent || '_' || suffix) IS NOT NULL THEN RETURN 0; END IF;
  EXECUTE format('SELECT EXISTS (SELECT 1 FROM %I WHERE %I >= %L AND %I < %L)', parent || '_else', key, lower_bound, key, upper_bound)
    INTO is_begun;
  IF is_begun THEN RETURN 0; END IF;
  EXECUTE format('CREATE TABLE %I PARTITION OF %I FOR VALUES FROM (%L) TO (%L)', parent || '_' || suffix, parent, lower_bound, upper_bound);
  RETURN 1;
END $$;

-- Evidence is neither changed nor removed.
CREATE FUNCTION keep_evidence() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '%: evidence is neither changed nor removed', TG_TABLE_NAME USING ERRCODE = 'BW002';
END $$;

DO $$
DECLARE
  kept text;
BEGIN
  FOREACH kept IN ARRAY ARRAY['bench', 'settlement', 'chain', 'event', 'seal', 'record', 'document', 'job', 'job_end', 'capture', 'consumption', 'refused_push'] LOOP
    EXECUTE format('CREATE TRIGGER keeps_rows BEFORE UPDATE OR DELETE OR TRUNCATE ON %I FOR EACH STATEMENT EXECUTE FUNCTION keep_evidence()', kept);
  END LOOP;
END $$;

-- A partition may be named directly in a statement: there a row trigger, which partitions inherit, stops it.
DO $$
DECLARE
  kept text;
BEGIN
  FOREACH kept IN ARRAY ARRAY['event', 'seal', 'record', 'job', 'job_end', 'capture', 'consumption'] LOOP
    EXECUTE format('CREATE TRIGGER keeps_each_row BEFORE UPDATE OR DELETE ON %I FOR EACH ROW EXECUTE FUNCTION keep_evidence()', kept);
  END LOOP;
END $$;

CREATE FUNCTION keep_head() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF TG_OP = 'UPDATE' AND NEW.chain_id = OLD.chain_id AND NEW.sequence > OLD.sequence THEN RETURN NEW; END IF;
  RAISE EXCEPTION 'chain_head: the end of a chain only moves on' USING ERRCODE = 'BW002';
END $$;
CREATE TRIGGER moves_on BEFORE UPDATE OR DELETE ON chain_head FOR EACH ROW EXECUTE FUNCTION keep_head();
CREATE TRIGGER keeps_rows BEFORE TRUNCATE ON chain_head FOR EACH STATEMENT EXECUTE FUNCTION keep_evidence();
