import { z } from 'zod';
import { type Result, refuse } from '../../shared/result.ts';
import { parseWith } from '../../shared/schema-refusal.ts';
import type { BytePort } from './byte-port.ts';
import type { Clock } from './clock.ts';

const headerSchema = z.strictObject({
  format: z.literal('bandwright recording'),
  version: z.literal(1),
  /** Name of the profile of the instrument; null while it is not known. */
  profile: z.string().min(1).max(100).nullable(),
  /** Settings of the port, where there are any. */
  serial: z.record(z.string(), z.unknown()).nullable(),
  /** Wall time at which the recording began, ISO 8601. */
  startedAt: z.string().min(1),
});

const entrySchema = z.union([
  /** Bytes that came, milliseconds after the start. */
  z.strictObject({ atMilliseconds: z.number().nonnegative(), bytes: z.base64() }),
  /** The port was opened, or lost. */
  z.strictObject({ atMilliseconds: z.number().nonnegative(), event: z.enum(['open', 'lost']) }),
]);

export type RecordingHeader = z.infer<typeof headerSchema>;
export type RecordingEntry = z.infer<typeof entrySchema>;

/** Everything that came over a port, with times. On disk: JSON lines, the header first. */
export interface Recording {
  readonly header: RecordingHeader;
  readonly entries: readonly RecordingEntry[];
}

/**
 * Writes what comes over a port from now on, one line of text at a time (without line end).
 * Returns a function that ends the recording.
 */
export function recordPort(
  port: BytePort,
  about: Pick<RecordingHeader, 'profile' | 'serial'>,
  clock: Clock,
  write: (line: string) => void,
): () => void {
  const startedAt = clock.nowMilliseconds();
  const header: RecordingHeader = {
    format: 'bandwright recording',
    version: 1,
    ...about,
    startedAt: clock.wallTime(),
  };
  const put = (entry: RecordingEntry) => write(JSON.stringify(entry));
  /** Tenths of a millisecond are more than any port can tell. */
  const since = (milliseconds: number) => Math.max(0, Math.round((milliseconds - startedAt) * 10) / 10);

  write(JSON.stringify(header));
  if (port.state.kind === 'open') put({ atMilliseconds: 0, event: 'open' });
  const stopBytes = port.onBytes((chunk, arrival) =>
    put({
      atMilliseconds: since(arrival.arrivedAtMilliseconds),
      bytes: Buffer.from(chunk).toString('base64'),
    }),
  );
  const stopStates = port.onState((state) => {
    if (state.kind === 'open' || state.kind === 'lost') {
      put({ atMilliseconds: since(state.since.arrivedAtMilliseconds), event: state.kind });
    }
  });
  return () => {
    stopBytes();
    stopStates();
  };
}

/** Reads a recording. Refuses a text that is none, and names the line. */
export function parseRecording(text: string): Result<Recording> {
  const lines = text.split('\n').filter((line) => line.trim() !== '');
  const header = parseLine(headerSchema, lines[0] ?? '', 1);
  if (!header.ok) return header;
  const entries: RecordingEntry[] = [];
  for (const [index, line] of lines.entries()) {
    if (index === 0) continue;
    const entry = parseLine(entrySchema, line, index + 1);
    if (!entry.ok) return entry;
    const before = entries.at(-1);
    if (before !== undefined && entry.value.atMilliseconds < before.atMilliseconds) {
      return refuse(
        'out_of_order',
        `line ${index + 1}.atMilliseconds`,
        'is before the line above; put the lines in order of time',
      );
    }
    entries.push(entry.value);
  }
  return { ok: true, value: { header: header.value, entries } };
}

function parseLine<Schema extends z.ZodType>(
  schema: Schema,
  line: string,
  number: number,
): Result<z.output<Schema>> {
  let input: unknown;
  try {
    input = JSON.parse(line);
  } catch {
    return refuse('not_json', `line ${number}`, 'is not JSON; give a file that was recorded here');
  }
  return parseWith(schema, input, [`line ${number}`]);
}
