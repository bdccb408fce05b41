-- What a bench may do. Each refusal has a name; it is returned, not raised, so that it can be kept for monitoring.

-- The hash of an event: SHA-256 over the canonical JSON (RFC 8785) of its envelope. PostgreSQL's to_json() of a text
-- escapes exactly what RFC 8785, 3.2.2.2 asks to be escaped.
CREATE FUNCTION event_hash(
  at text, body text, kind text, person_id text, previous_hash bytea, sequence bigint, stream text, version integer
) RETURNS bytea LANGUAGE sql STABLE AS $$
  SELECT sha256(convert_to(
    '{"at":' || to_json(at)::text || ',"body":' || body || ',"kind":' || to_json(kind)::text
    || ',"personId":' || coalesce(to_json(person_id)::text, 'null')
    || ',"previousHash":"' || encode(previous_hash, 'hex') || '","sequence":' || sequence
    || ',"stream":' || to_json(stream)::text || ',"version":' || version || '}', 'UTF8'))
$$;

-- The link of a seal, in which the one before it is named.
CREATE FUNCTION seal_link(key_id text, previous_seal bytea, sequence bigint, signature bytea, stream text)
RETURNS bytea LANGUAGE sql STABLE AS $$
  SELECT sha256(convert_to(
    '{"keyId":' || to_json(key_id)::text || ',"previousSeal":"' || encode(previous_seal, 'hex')
    || '","sequence":' || sequence
    || ',"signature":"' || translate(encode(signature, 'base64'), E'\n', '')
    || '","stream":' || to_json(stream)::text || '}', 'UTF8'))
$$;

-- A chain and those that it branched from, the nearest first.
CREATE FUNCTION lineage(of_chain integer) RETURNS TABLE (chain_id integer, up_to bigint)
LANGUAGE sql STABLE SET search_path = bandwright, pg_temp AS $$
  WITH RECURSIVE line AS (
    SELECT c.chain_id, c.parent_chain_id, c.forked_after, 9223372036854775807 AS up_to, 0 AS depth
    FROM chain c WHERE c.chain_id = of_chain
    UNION ALL
    SELECT p.chain_id, p.parent_chain_id, p.forked_after, least(l.up_to, l.forked_after), l.depth + 1
    FROM line l JOIN chain p ON p.chain_id = l.parent_chain_id
  )
  SELECT line.chain_id, line.up_to FROM line ORDER BY depth
$$;

-- The hash that stands at a place of a chain; null where there is none.
CREATE FUNCTION hash_in_chain(of_chain integer, place bigint) RETURNS bytea
LANGUAGE sql STABLE SET search_path = bandwright, pg_temp AS $$
  SELECT e.hash FROM lineage(of_chain) l JOIN event e ON e.chain_id = l.chain_id
  WHERE e.sequence = place AND place <= l.up_to LIMIT 1
$$;

-- How far the site has the chain of the bench that asks.
--   state  new            nothing of this station yet: push from the beginning
--          known          push behind sequence
--          settled        a person let it go on as a branch (or begin): push behind sequence
--          another_chain  the bench has pushed another station's chain: a person has to decide
--          not_yours      the station's chain belongs to another bench
--          no_bench       this login is no bench
CREATE FUNCTION chain_position(of_station text) RETURNS TABLE (state text, sequence bigint, hash bytea, branch integer)
LANGUAGE plpgsql STABLE SECURITY DEFINER SET search_path = bandwright, pg_temp AS $$
DECLARE
  its_bench text;
  known chain;
  newest chain;
  permit settlement;
BEGIN
  SELECT b.bench_id INTO its_bench FROM bench b WHERE b.login = session_user;
  IF its_bench IS NULL THEN RETURN QUERY SELECT 'no_bench', 0::bigint, zero_hash(), 0; RETURN; END IF;
  SELECT * INTO permit FROM open_settlement(its_bench, of_station);
  IF permit.settlement_id IS NOT NULL THEN
    SELECT c.* INTO known FROM chain c WHERE c.station_id = of_station ORDER BY c.branch DESC LIMIT 1;
    RETURN QUERY SELECT 'settled', permit.forked_after,
      CASE WHEN permit.forked_after = 0 THEN zero_hash() ELSE hash_in_chain(known.chain_id, permit.forked_after) END,
      coalesce(known.branch, 0) + 1;
    RETURN;
  END IF;
  SELECT c.* INTO known FROM chain c WHERE c.station_id = of_station ORDER BY c.branch DESC LIMIT 1;
  SELECT c.* INTO newest FROM chain c WHERE c.bench_id = its_bench ORDER BY c.chain_id DESC LIMIT 1;
  IF known.chain_id IS NOT NULL AND known.bench_id <> its_bench THEN
    RETURN QUERY SELECT 'not_yours', 0::bigint, zero_hash(), known.branch; RETURN;
  END IF;
  IF newest.chain_id IS NOT NULL AND newest.station_id <> of_station THEN
    RETURN QUERY SELECT 'another_chain', 0::bigint, zero_hash(), 0; RETURN;
  END IF;
  IF known.chain_id IS NULL THEN RETURN QUERY SELECT 'new', 0::bigint, zero_hash(), 1; RETURN; END IF;
  RETURN QUERY SELECT 'known', h.sequence, h.hash, known.branch FROM chain_head h WHERE h.chain_id = known.chain_id;
END $$;

CREATE FUNCTION zero_hash() RETURNS bytea LANGUAGE sql IMMUTABLE AS $$
  SELECT decode(repeat('00', 32), 'hex')
$$;

-- A decision of a person that no chain has used yet.
CREATE FUNCTION open_settlement(its_bench text, of_station text) RETURNS settlement
LANGUAGE sql STABLE SET search_path = bandwright, pg_temp AS $$
  SELECT s.* FROM settlement s
  WHERE s.bench_id = its_bench AND s.station_id = of_station
    AND NOT EXISTS (SELECT 1 FROM chain c WHERE c.settlement_id = s.settlement_id)
  ORDER BY s.settlement_id DESC LIMIT 1
$$;

-- The hash at a place of the station's newest branch, for a station that looks for the last event that both have.
CREATE FUNCTION hash_at(of_station text, place bigint) RETURNS bytea
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = bandwright, pg_temp AS $$
  SELECT hash_in_chain(c.chain_id, place) FROM chain c JOIN bench b USING (bench_id)
  WHERE c.station_id = of_station AND b.login = session_user ORDER BY c.branch DESC LIMIT 1
$$;

CREATE FUNCTION refuse(reason text, detail text) RETURNS void LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '%', detail USING ERRCODE = 'BW001', HINT = reason;
END $$;

-- Takes a piece of a chain, whole or not at all. What is there already is passed over, so that it may be repeated.
--
-- The arrays of events and of seals go together by their places; documents and records are the bodies that the events
-- documentPut and recordSigned name by their hashes.
--
-- reason  no_bench, not_yours, another_chain  (see chain_position)
--         gap             begins behind the end of the chain, or leaves an event out
--         reordered       events are not in the order of their sequence
--         fork            another event stands there already, or the piece follows another end
--         altered         the hash of an event, document or record is not that of its content
--         broken_link     an event names another one before it
--         broken_seal     a seal does not follow the one before it
--         truncated       the last event has no seal, or a document or record that an event names is missing
--         unknown_item    a seal of no event of the piece (documents and records that no event names are left aside)
--         malformed       not what a station writes
CREATE FUNCTION push(
  of_station text,
  sequences bigint[], streams text[], versions integer[], kinds text[], ats text[], person_ids text[], bodies text[],
  previous_hashes bytea[], hashes bytea[],
  seal_sequences bigint[], seal_streams text[], seal_key_ids text[], seal_signatures bytea[], seal_links bytea[],
  documents text[], records text[]
) RETURNS TABLE (accepted boolean, sequence bigint, reason text, detail text)
LANGUAGE plpgsql SECURITY DEFINER SET search_path = bandwright, pg_temp AS $$
DECLARE
  head chain_head;
  its_reason text;
  its_detail text;
BEGIN
  BEGIN
    head := take_push(of_station, sequences, streams, versions, kinds, ats, person_ids, bodies, previous_hashes, hashes,
      seal_sequences, seal_streams, seal_key_ids, seal_signatures, seal_links, documents, records);
    RETURN QUERY SELECT true, head.sequence, NULL::text, NULL::text;
    RETURN;
  EXCEPTION
    WHEN SQLSTATE 'BW001' THEN
      GET STACKED DIAGNOSTICS its_reason = PG_EXCEPTION_HINT, its_detail = MESSAGE_TEXT;
    WHEN data_exception OR not_null_violation OR check_violation OR unique_violation THEN
      its_reason := 'malformed';
      its_detail := SQLERRM;
  END;
  INSERT INTO refused_push (login, station_id, reason, detail)
  VALUES (session_user, left(coalesce(of_station, ''), 200), its_reason, left(its_detail, 500));
  RETURN QUERY SELECT false, 0::bigint, its_reason, its_detail;
END $$;

CREATE FUNCTION take_push(
  of_station text,
  sequences bigint[], streams text[], versions integer[], kinds text[], ats text[], person_ids text[], bodies text[],
  previous_hashes bytea[], hashes bytea[],
  seal_sequences bigint[], seal_streams text[], seal_key_ids text[], seal_signatures bytea[], seal_links bytea[],
  documents text[], records text[]
) RETURNS chain_head
LANGUAGE plpgsql SET search_path = bandwright, pg_temp AS $$
#variable_conflict use_column
DECLARE
  head chain_head;
  count_of integer := coalesce(array_length(sequences, 1), 0);
  fresh integer := 1; -- index of the first event that is not there yet
  seal_fresh integer := 1;
  found_reason text;
  found_detail text;
  now_received timestamptz := clock_timestamp();
  line integer[];
BEGIN
  IF count_of = 0 THEN PERFORM refuse('malformed', 'no events'); END IF;
  IF count_of <> ALL (ARRAY[cardinality(streams), cardinality(versions), cardinality(kinds), cardinality(ats),
      cardinality(person_ids), cardinality(bodies), cardinality(previous_hashes), cardinality(hashes)])
    OR cardinality(seal_sequences) <> ALL (ARRAY[cardinality(seal_streams), cardinality(seal_key_ids),
      cardinality(seal_signatures), cardinality(seal_links)]) THEN
    PERFORM refuse('malformed', 'columns of different lengths');
  END IF;
  head := lock_head(of_station);
  line := ARRAY(SELECT l.chain_id FROM lineage(head.chain_id) l);

  -- Order, and what is there already.
  SELECT format('event %s stands where %s belongs', coalesce(sequences[i]::text, 'null'), sequences[1] + i - 1)
  INTO found_detail
  FROM generate_series(1, count_of) i WHERE sequences[i] IS DISTINCT FROM sequences[1] + i - 1 ORDER BY i LIMIT 1;
  IF found_detail IS NOT NULL THEN
    found_reason := CASE WHEN (SELECT max(s) - min(s) + 1 = count_of AND count(DISTINCT s) = count_of FROM unnest(sequences) s)
      THEN 'reordered' ELSE 'gap' END;
  END IF;
  IF found_reason IS NOT NULL THEN PERFORM refuse(found_reason, found_detail); END IF;
  IF sequences[1] > head.sequence + 1 THEN
    PERFORM refuse('gap', format('the site has events up to %s, this begins at %s', head.sequence, sequences[1]));
  END IF;
  IF sequences[1] <= head.sequence THEN
    SELECT format('another event stands at %s', sequences[i]) INTO found_detail
    FROM generate_series(1, least(count_of, head.sequence - sequences[1] + 1)::integer) i
    WHERE hash_in_chain(head.chain_id, sequences[i]) IS DISTINCT FROM hashes[i] ORDER BY i LIMIT 1;
    IF found_detail IS NOT NULL THEN PERFORM refuse('fork', found_detail); END IF;
    fresh := (head.sequence - sequences[1] + 2)::integer;
    IF fresh > count_of THEN RETURN head; END IF;
  END IF;

  -- Content and links.
  SELECT CASE WHEN hash <> event_hash(at, body, kind, person_id, previous_hash, sequence, stream, version) THEN 'altered'
      WHEN previous_hash <> before AND n = fresh THEN 'fork' ELSE 'broken_link' END,
    CASE WHEN hash <> event_hash(at, body, kind, person_id, previous_hash, sequence, stream, version)
      THEN format('the hash of event %s is not that of its content', sequence)
      WHEN n = fresh THEN format('event %s does not follow event %s as the site has it', sequence, head.sequence)
      ELSE format('event %s names another one before it', sequence) END
  INTO found_reason, found_detail
  FROM (
    SELECT u.*, coalesce(lag(u.hash) OVER (ORDER BY n), head.hash) AS before
    FROM unnest(sequences[fresh:], streams[fresh:], versions[fresh:], kinds[fresh:], ats[fresh:], person_ids[fresh:],
      bodies[fresh:], previous_hashes[fresh:], hashes[fresh:])
      WITH ORDINALITY AS o (sequence, stream, version, kind, at, person_id, body, previous_hash, hash, place)
    CROSS JOIN LATERAL (SELECT o.*, (o.place + fresh - 1)::integer AS n) AS u
  ) AS checked
  WHERE hash IS DISTINCT FROM event_hash(at, body, kind, person_id, previous_hash, sequence, stream, version)
    OR previous_hash IS DISTINCT FROM before
  ORDER BY n LIMIT 1;
  IF found_reason IS NOT NULL THEN PERFORM refuse(found_reason, found_detail); END IF;

  -- Seals: of these events, in order, each following the one before; the last event has one.
  WHILE seal_fresh <= coalesce(cardinality(seal_sequences), 0) AND seal_sequences[seal_fresh] <= head.sequence LOOP
    seal_fresh := seal_fresh + 1;
  END LOOP;
  IF seal_sequences[cardinality(seal_sequences)] IS DISTINCT FROM sequences[count_of] THEN
    IF seal_sequences[cardinality(seal_sequences)] > sequences[count_of] THEN
      PERFORM refuse('truncated', format('a seal of event %s without the event', seal_sequences[cardinality(seal_sequences)]));
    END IF;
    PERFORM refuse('truncated', format('no seal covers event %s', sequences[count_of]));
  END IF;
  SELECT CASE WHEN not_ours THEN 'unknown_item' ELSE 'broken_seal' END,
    format('the seal of event %s %s', sequence, CASE WHEN not_ours THEN 'seals no event of this piece' ELSE 'does not follow the one before it' END)
  INTO found_reason, found_detail
  FROM (
    SELECT s.sequence, s.n,
      NOT (s.sequence BETWEEN sequences[fresh] AND sequences[count_of])
        OR s.sequence <= coalesce(lag(s.sequence) OVER (ORDER BY n), 0) AS not_ours,
      s.link IS DISTINCT FROM seal_link(s.key_id, coalesce(lag(s.link) OVER (ORDER BY n), head.seal_link), s.sequence,
        s.signature, s.stream) AS unlinked
    FROM unnest(seal_sequences[seal_fresh:], seal_streams[seal_fresh:], seal_key_ids[seal_fresh:],
      seal_signatures[seal_fresh:], seal_links[seal_fresh:])
      WITH ORDINALITY AS s (sequence, stream, key_id, signature, link, n)
  ) AS sealed WHERE not_ours OR unlinked ORDER BY n LIMIT 1;
  IF found_reason IS NOT NULL THEN PERFORM refuse(found_reason, found_detail); END IF;

  -- Jobs first: their month says where the rest of them goes.
  INSERT INTO job (opened_at, sequence, chain_id, period, job_id, serial, head_id, person_id)
  SELECT b.at::timestamptz, e.sequence, head.chain_id, month_of(b.at), substr(e.stream, 5), b.serial, b."headId", e.person_id
  FROM unnest(sequences[fresh:], streams[fresh:], kinds[fresh:], person_ids[fresh:], bodies[fresh:])
    AS e (sequence, stream, kind, person_id, body),
    LATERAL json_to_record(e.body::json) AS b (at text, serial text, "headId" text)
  WHERE e.kind = 'jobOpened' AND e.stream LIKE 'job/%';

  WITH incoming AS (
    SELECT * FROM unnest(sequences[fresh:], streams[fresh:], versions[fresh:], kinds[fresh:], ats[fresh:],
      person_ids[fresh:], bodies[fresh:], previous_hashes[fresh:], hashes[fresh:])
      AS e (sequence, stream, version, kind, at, person_id, body, previous_hash, hash)
  ), of_jobs AS (
    SELECT j.job_id, min(j.period) AS period FROM job j
    WHERE j.chain_id = ANY (line) AND j.job_id IN (SELECT job_of(stream) FROM incoming WHERE job_of(stream) IS NOT NULL)
    GROUP BY j.job_id
  ), placed AS (
    SELECT i.*, coalesce(o.period, month_of(i.at)) AS period FROM incoming i LEFT JOIN of_jobs o ON o.job_id = job_of(i.stream)
  ), events AS (
    INSERT INTO event (period, chain_id, version, sequence, received_at, stream, kind, at, person_id, previous_hash, hash, body)
    SELECT period, head.chain_id, version, sequence, now_received, stream, kind, at, person_id, previous_hash, hash, body FROM placed
  ), hashed AS MATERIALIZED (
    SELECT encode(sha256(convert_to(r, 'UTF8')), 'hex') AS hash, r AS body FROM unnest(records) r
  ), recorded AS (
    INSERT INTO record (period, chain_id, revision, sequence, job_id, serial, key_id, hash, signature, body)
    SELECT p.period, head.chain_id, b.revision, p.sequence, b."jobId", b.serial, b."keyId", decode(b.hash, 'hex'),
      decode(b.signature, 'base64'), r.body
    FROM placed p, LATERAL json_to_record(p.body::json)
      AS b ("jobId" text, serial text, revision integer, hash text, "keyId" text, signature text)
    JOIN hashed r ON r.hash = b.hash
    WHERE p.kind = 'recordSigned' AND p.stream LIKE 'record/%'
  )
  INSERT INTO seal (period, chain_id, sequence, stream, key_id, signature, link)
  SELECT p.period, head.chain_id, s.sequence, s.stream, s.key_id, s.signature, s.link
  FROM unnest(seal_sequences[seal_fresh:], seal_streams[seal_fresh:], seal_key_ids[seal_fresh:],
    seal_signatures[seal_fresh:], seal_links[seal_fresh:]) AS s (sequence, stream, key_id, signature, link)
  JOIN placed p ON p.sequence = s.sequence;

  PERFORM take_documents(sequences[fresh:], streams[fresh:], kinds[fresh:], bodies[fresh:], documents);
  PERFORM check_records(sequences[fresh:], streams[fresh:], kinds[fresh:], bodies[fresh:], records);
  PERFORM index_jobs(head.chain_id, line, sequences[fresh:], streams[fresh:], kinds[fresh:], person_ids[fresh:], bodies[fresh:]);

  UPDATE chain_head h SET sequence = sequences[count_of], hash = hashes[count_of],
    seal_link = seal_links[cardinality(seal_links)], received_at = now_received
  WHERE h.chain_id = head.chain_id RETURNING h.* INTO head;
  RETURN head;
END $$;

-- The job of a stream job/… or record/…; null for every other stream.
CREATE FUNCTION job_of(stream text) RETURNS text LANGUAGE sql IMMUTABLE AS $$
  SELECT CASE WHEN stream LIKE 'job/%' THEN substr(stream, 5) WHEN stream LIKE 'record/%' THEN substr(stream, 8) END
$$;

CREATE FUNCTION month_of(at text) RETURNS date LANGUAGE sql STABLE AS $$
  SELECT date_trunc('month', at::timestamptz AT TIME ZONE 'UTC')::date
$$;

-- The end of the chain that this bench may go on with, locked until the transaction ends.
CREATE FUNCTION lock_head(of_station text) RETURNS chain_head
LANGUAGE plpgsql SET search_path = bandwright, pg_temp AS $$
DECLARE
  its_bench text;
  known chain;
  other text;
  permit settlement;
  begun integer;
  head chain_head;
BEGIN
  -- One push of a bench at a time.
  SELECT b.bench_id INTO its_bench FROM bench b WHERE b.login = session_user FOR NO KEY UPDATE;
  IF its_bench IS NULL THEN PERFORM refuse('no_bench', format('the login %s is no bench', session_user)); END IF;
  IF of_station IS NULL OR length(of_station) NOT BETWEEN 1 AND 200 THEN PERFORM refuse('malformed', 'no station'); END IF;
  SELECT c.* INTO known FROM chain c WHERE c.station_id = of_station ORDER BY c.branch DESC LIMIT 1;
  permit := open_settlement(its_bench, of_station);
  IF permit.settlement_id IS NULL THEN
    IF known.chain_id IS NOT NULL AND known.bench_id <> its_bench THEN
      PERFORM refuse('not_yours', format('the chain of this station belongs to bench %s; is its data folder a copy?', known.bench_id));
    END IF;
    SELECT c.station_id INTO other FROM chain c WHERE c.bench_id = its_bench ORDER BY c.chain_id DESC LIMIT 1;
    IF other <> of_station THEN
      PERFORM refuse('another_chain', format('bench %s has pushed the chain of station %s; a person has to let another one begin', its_bench, other));
    END IF;
    IF known.chain_id IS NOT NULL THEN
      SELECT h.* INTO head FROM chain_head h WHERE h.chain_id = known.chain_id FOR UPDATE;
      RETURN head;
    END IF;
  END IF;
  INSERT INTO chain (bench_id, station_id, branch, parent_chain_id, forked_after, settlement_id)
  VALUES (its_bench, of_station, coalesce(known.branch, 0) + 1,
    CASE WHEN permit.forked_after > 0 THEN known.chain_id END, coalesce(permit.forked_after, 0), permit.settlement_id)
  RETURNING chain_id INTO begun;
  IF permit.forked_after > 0 THEN
    INSERT INTO chain_head (chain_id, sequence, hash, seal_link, received_at)
    SELECT begun, s.sequence, hash_in_chain(known.chain_id, s.sequence), s.link, clock_timestamp()
    FROM lineage(known.chain_id) l JOIN seal s ON s.chain_id = l.chain_id
    WHERE s.sequence = permit.forked_after AND s.sequence <= l.up_to RETURNING * INTO head;
  ELSE
    INSERT INTO chain_head (chain_id, sequence, hash, seal_link, received_at)
    VALUES (begun, 0, zero_hash(), zero_hash(), clock_timestamp()) RETURNING * INTO head;
  END IF;
  RETURN head;
END $$;

-- Documents, each once; every documentPut event has its own.
CREATE FUNCTION take_documents(sequences bigint[], streams text[], kinds text[], bodies text[], documents text[])
RETURNS void LANGUAGE plpgsql SET search_path = bandwright, pg_temp AS $$
DECLARE
  missing bigint;
  named integer;
BEGIN
  WITH hashed AS MATERIALIZED (
    SELECT encode(sha256(convert_to(d, 'UTF8')), 'hex') AS hash, d AS body FROM unnest(documents) d
  )
  INSERT INTO document (hash, kind, body)
  SELECT DISTINCT decode(b.hash, 'hex'), b."documentKind", d.body
  FROM unnest(streams, kinds, bodies) AS e (stream, kind, body),
    LATERAL json_to_record(e.body::json) AS b (hash text, "documentKind" text)
    JOIN hashed d ON d.hash = b.hash
  WHERE e.kind = 'documentPut' AND e.stream = 'document/' || b.hash
  ON CONFLICT DO NOTHING;
  SELECT e.sequence INTO missing
  FROM unnest(sequences, streams, kinds, bodies) AS e (sequence, stream, kind, body),
    LATERAL json_to_record(e.body::json) AS b (hash text, "documentKind" text)
  WHERE e.kind = 'documentPut' AND e.stream LIKE 'document/%'
    AND NOT EXISTS (SELECT 1 FROM document d WHERE d.hash = decode(b.hash, 'hex') AND d.kind = b."documentKind")
  ORDER BY 1 LIMIT 1;
  IF missing IS NOT NULL THEN
    PERFORM refuse('truncated', format('the document that event %s puts is missing or altered', missing));
  END IF;
END $$;

-- Every recordSigned event has its record.
CREATE FUNCTION check_records(sequences bigint[], streams text[], kinds text[], bodies text[], records text[])
RETURNS void LANGUAGE plpgsql SET search_path = bandwright, pg_temp AS $$
DECLARE
  missing bigint;
BEGIN
  SELECT e.sequence INTO missing
  FROM unnest(sequences, streams, kinds, bodies) AS e (sequence, stream, kind, body)
  WHERE e.kind = 'recordSigned' AND e.stream LIKE 'record/%'
    AND (e.body::json ->> 'hash') <> ALL (ARRAY(SELECT encode(sha256(convert_to(r, 'UTF8')), 'hex') FROM unnest(records) r))
  ORDER BY 1 LIMIT 1;
  IF missing IS NOT NULL THEN
    PERFORM refuse('truncated', format('the record that event %s signs is missing or altered', missing));
  END IF;
END $$;

-- The rows that the auditor's questions are answered from.
CREATE FUNCTION index_jobs(
  its_chain integer, line integer[], sequences bigint[], streams text[], kinds text[], person_ids text[], bodies text[]
) RETURNS void LANGUAGE plpgsql SET search_path = bandwright, pg_temp AS $$
BEGIN
  INSERT INTO job_end (at, sequence, chain_id, job_id, phase)
  SELECT (e.body::json ->> 'at')::timestamptz, e.sequence, its_chain, substr(e.stream, 5),
    CASE e.kind WHEN 'jobReleased' THEN 'released' WHEN 'jobAbandoned' THEN 'abandoned' ELSE 'voided' END
  FROM unnest(sequences, streams, kinds, bodies) AS e (sequence, stream, kind, body)
  WHERE e.kind IN ('jobReleased', 'jobAbandoned', 'jobVoided') AND e.stream LIKE 'job/%';

  INSERT INTO consumption (at, sequence, chain_id, lot_id, job_id)
  SELECT b.at::timestamptz, e.sequence, its_chain, b."lotId", substr(e.stream, 5)
  FROM unnest(sequences, streams, kinds, bodies) AS e (sequence, stream, kind, body),
    LATERAL json_to_record(e.body::json) AS b (at text, "lotId" text)
  WHERE e.kind = 'consumableUsed' AND e.stream LIKE 'job/%' AND b."lotId" IS NOT NULL;

  INSERT INTO capture (at, sequence, chain_id, capture_id, job_id, serial, head_id, step_id, quantity, instrument_id,
    certificate_hash, decision, person_id)
  SELECT b.at::timestamptz, e.sequence, its_chain, c."captureId", j.job_id, j.serial, j.head_id, b."stepId", c.quantity,
    i."instrumentId", i."certificateHash", c.judgement ->> 'decision', e.person_id
  FROM unnest(sequences, streams, kinds, person_ids, bodies) AS e (sequence, stream, kind, person_id, body),
    LATERAL json_to_record(e.body::json) AS b (at text, "stepId" text, capture json),
    LATERAL json_to_record(b.capture) AS c ("captureId" text, quantity text, judgement json, instrument json),
    LATERAL json_to_record(c.instrument) AS i ("instrumentId" text, "certificateHash" text),
    LATERAL (SELECT job.* FROM job WHERE job.chain_id = ANY (line) AND job.job_id = substr(e.stream, 5) LIMIT 1) AS j
  WHERE e.kind = 'measurementCaptured' AND e.stream LIKE 'job/%';
END $$;

-- A person decides: the station's chain goes on behind its event forked_after as a branch; with 0, the bench begins
-- the chain of a station that was set up anew.
CREATE FUNCTION settle(at_bench text, of_station text, after_event bigint, by_person text, why text) RETURNS integer
LANGUAGE plpgsql SECURITY DEFINER SET search_path = bandwright, pg_temp AS $$
DECLARE
  known chain;
  made integer;
BEGIN
  SELECT c.* INTO known FROM chain c WHERE c.station_id = of_station ORDER BY c.branch DESC LIMIT 1;
  IF after_event > 0 AND NOT EXISTS (
    SELECT 1 FROM lineage(known.chain_id) l JOIN seal s ON s.chain_id = l.chain_id
    WHERE s.sequence = after_event AND s.sequence <= l.up_to
  ) THEN
    RAISE EXCEPTION 'no append of station % ends at event %', of_station, after_event USING ERRCODE = 'BW001', HINT = 'no_such_place';
  END IF;
  IF after_event = 0 AND known.chain_id IS NOT NULL AND known.bench_id = at_bench
    AND EXISTS (SELECT 1 FROM chain_head h WHERE h.chain_id = known.chain_id AND h.sequence > 0) THEN
    RAISE EXCEPTION 'the site knows station % already: name the last event that both have', of_station USING ERRCODE = 'BW001', HINT = 'known_chain';
  END IF;
  INSERT INTO settlement (bench_id, station_id, forked_after, person, reason)
  VALUES (at_bench, of_station, after_event, by_person, why) RETURNING settlement_id INTO made;
  RETURN made;
END $$;

GRANT USAGE ON SCHEMA bandwright TO bandwright_bench, bandwright_auditor, bandwright_publisher;
REVOKE ALL ON ALL FUNCTIONS IN SCHEMA bandwright FROM PUBLIC;
GRANT EXECUTE ON FUNCTION chain_position(text), hash_at(text, bigint) TO bandwright_bench;
GRANT EXECUTE ON FUNCTION push(text, bigint[], text[], integer[], text[], text[], text[], text[], bytea[], bytea[],
  bigint[], text[], text[], bytea[], bytea[], text[], text[]) TO bandwright_bench;
GRANT SELECT ON ALL TABLES IN SCHEMA bandwright TO bandwright_auditor;
