-- What the site publishes for all benches: approved sheets, people, certificates of instruments. Signed by the site's
-- key, whose private half is not in this database; the benches have its public half and believe nothing else.

CREATE TABLE publication (
  number bigint PRIMARY KEY CHECK (number > 0),
  previous_hash bytea NOT NULL CHECK (length(previous_hash) = 32),
  hash bytea NOT NULL CHECK (length(hash) = 32),
  kind text NOT NULL CHECK (kind IN ('sheet', 'person', 'certificate')),
  subject_id text NOT NULL,
  revision integer NOT NULL CHECK (revision > 0),
  content text NOT NULL,
  key_id text NOT NULL,
  signature bytea NOT NULL CHECK (length(signature) = 64),
  published_at timestamptz NOT NULL DEFAULT now(),
  published_by name NOT NULL DEFAULT session_user,
  UNIQUE (kind, subject_id, revision)
);
CREATE TRIGGER keeps_rows BEFORE UPDATE OR DELETE OR TRUNCATE ON publication FOR EACH STATEMENT EXECUTE FUNCTION keep_evidence();

-- Adds the next publication. Refused with a hint:
--   moved_on       another one was published meanwhile: read the last ones again
--   wrong_revision not the next one of its subject
CREATE FUNCTION publish(
  its_number bigint, its_previous_hash bytea, its_kind text, its_subject text, its_revision integer, its_content text,
  its_key_id text, its_signature bytea
) RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = bandwright, pg_temp AS $$
DECLARE
  last publication;
  before integer;
BEGIN
  LOCK TABLE publication IN EXCLUSIVE MODE;
  SELECT p.* INTO last FROM publication p ORDER BY p.number DESC LIMIT 1;
  IF its_number <> coalesce(last.number, 0) + 1 OR its_previous_hash <> coalesce(last.hash, zero_hash()) THEN
    PERFORM refuse('moved_on', format('the last publication is number %s', coalesce(last.number, 0)));
  END IF;
  SELECT coalesce(max(p.revision), 0) INTO before FROM publication p WHERE p.kind = its_kind AND p.subject_id = its_subject;
  IF its_revision <> before + 1 THEN
    PERFORM refuse('wrong_revision', format('the last revision of %s %s is %s', its_kind, its_subject, before));
  END IF;
  INSERT INTO publication (number, previous_hash, hash, kind, subject_id, revision, content, key_id, signature)
  VALUES (its_number, its_previous_hash, sha256(convert_to(
    '{"contentHash":"' || encode(sha256(convert_to(its_content, 'UTF8')), 'hex')
    || '","format":"bandwright site publication 1","kind":' || to_json(its_kind)::text || ',"number":' || its_number
    || ',"previousHash":"' || encode(its_previous_hash, 'hex') || '","revision":' || its_revision
    || ',"subjectId":' || to_json(its_subject)::text || '}', 'UTF8')),
    its_kind, its_subject, its_revision, its_content, its_key_id, its_signature);
END $$;

CREATE FUNCTION published_since(after_number bigint, at_most integer) RETURNS SETOF publication
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = bandwright, pg_temp AS $$
  SELECT * FROM publication WHERE number > after_number ORDER BY number LIMIT at_most
$$;

-- The revision that a subject has now, 0 for none; and the last number and hash of all.
CREATE FUNCTION last_published(its_kind text, its_subject text)
RETURNS TABLE (number bigint, hash bytea, revision integer)
LANGUAGE sql STABLE SECURITY DEFINER SET search_path = bandwright, pg_temp AS $$
  SELECT coalesce((SELECT max(p.number) FROM publication p), 0),
    coalesce((SELECT p.hash FROM publication p ORDER BY p.number DESC LIMIT 1), zero_hash()),
    coalesce((SELECT max(p.revision) FROM publication p WHERE p.kind = its_kind AND p.subject_id = its_subject), 0)
$$;

REVOKE ALL ON FUNCTION publish(bigint, bytea, text, text, integer, text, text, bytea), published_since(bigint, integer),
  last_published(text, text) FROM PUBLIC;
GRANT EXECUTE ON FUNCTION publish(bigint, bytea, text, text, integer, text, text, bytea), last_published(text, text)
  TO bandwright_publisher;
GRANT EXECUTE ON FUNCTION published_since(bigint, integer) TO bandwright_bench, bandwright_publisher;
GRANT SELECT ON publication TO bandwright_auditor;
