import { createReadStream } from 'node:fs';
import { createDecoder, type Outcome } from '../../../drivers/decode.ts';
import { builtInProfileNames } from '../../../drivers/profiles/index.ts';
import { rejectionSentence } from '../../../shared/rejection-sentence.ts';
import { BadInput, type Command, type CommandInput } from './command.ts';
import { readProfileOption } from './profile-input.ts';
import { createCutter, parseCutting } from './rechunk.ts';

/** Bytes to readings by a profile, without port and database. */
export const decodeCommand: Command = {
  name: 'decode',
  summary: 'Decode instrument bytes by a profile: readings and refusals with their byte offset',
  usage: '--profile FILE-OR-NAME [--reconnect-at N]... [--columns] [FILE | -]',
  help: `
Reads bytes from FILE or standard input and prints one line for each reading or refusal, in the order of the
bytes. With --json one JSON object a line:

  {"offset":19,"text":"12.345","value":12.345,"unit":"kg","state":"stable"}
  {"offset":40,"refused":"overload"}

offset   index of the byte where the line or frame starts; seq and stamp where the instrument gives them
--profile FILE-OR-NAME   a built-in profile by name, a profile as JSON file, or a JSON file that holds one
                         under "profile"
--reconnect-at N         the port was lost and opened again at byte N; may be given several times
--columns                adds the other named columns of the line: angle, judgement, tare
state    stable or unstable (mass), peak, track or stored (torque)

Exit: 0 done, 2 bad input: an unreadable file, or a profile that cannot be used, with the path of its field.

Built-in profiles:
  ${builtInProfileNames.join('\n  ')}
`,
  options: {
    profile: { type: 'string' },
    'reconnect-at': { type: 'string', multiple: true },
    columns: { type: 'boolean' },
    // For tests: --chunk N or --chunk random:SEED cuts the bytes otherwise before decoding.
    chunk: { type: 'string' },
  },
  async run(input) {
    const profile = await readProfileOption(input.options.profile);
    const cut = createCutter(parseCutting(textOption(input, 'chunk')));
    const losses = parseOffsets(input.options['reconnect-at']);
    const describe = input.json ? describeAsJson : describeForPeople;
    const withColumns = input.options.columns === true;
    const decoder = createDecoder(profile);
    const order = createOrder();
    let position = 0;

    async function print(outcomes: readonly Outcome[], openSince: number): Promise<void> {
      const ready = order.take(outcomes, openSince);
      if (ready.length > 0)
        await input.print(ready.map((outcome) => describe(outcome, withColumns)).join('\n'));
    }

    for await (const bytes of readBytes(input)) {
      let rest = bytes;
      while (rest.length > 0) {
        const untilLoss = (losses[0] ?? Number.POSITIVE_INFINITY) - position;
        const part = rest.subarray(0, Math.min(rest.length, untilLoss));
        const outcomes: Outcome[] = [];
        for (const piece of cut(part)) outcomes.push(...decoder.push(piece));
        position += part.length;
        rest = rest.subarray(part.length);
        while (losses[0] !== undefined && losses[0] <= position) {
          losses.shift();
          outcomes.push(...decoder.reconnect());
        }
        await print(outcomes, decoder.openSince);
      }
    }
    // A loss at or behind the last byte still cuts what is in hand.
    const last = losses.length > 0 ? decoder.reconnect() : [];
    await print([...last, ...decoder.end()], Number.POSITIVE_INFINITY);
    return 0;
  },
};

/** More outcomes are not held back for the sake of their order. */
const mostHeldBack = 10_000;

/**
 * Puts outcomes into the order of their bytes: a ticket becomes a reading at its net line only when its last line
 * is there. Holds back what may still be preceded.
 */
function createOrder(): { take(outcomes: readonly Outcome[], openSince: number): Outcome[] } {
  let held: Outcome[] = [];
  return {
    take(outcomes, openSince) {
      const all = [...held, ...outcomes].sort((a, b) => offsetOf(a) - offsetOf(b));
      const limit = all.length > mostHeldBack ? Number.POSITIVE_INFINITY : openSince;
      held = all.filter((outcome) => offsetOf(outcome) >= limit);
      return all.filter((outcome) => offsetOf(outcome) < limit);
    },
  };
}

function offsetOf(outcome: Outcome): number {
  return outcome.kind === 'indication' ? outcome.indication.offset : outcome.rejection.offset;
}

function describeAsJson(outcome: Outcome, withColumns: boolean): string {
  if (outcome.kind === 'rejection') return JSON.stringify(outcome.rejection);
  const { columns, ...indication } = outcome.indication;
  return JSON.stringify(withColumns && columns !== undefined ? { ...indication, columns } : indication);
}

function describeForPeople(outcome: Outcome, withColumns: boolean): string {
  const offset = String(offsetOf(outcome)).padStart(8);
  if (outcome.kind === 'rejection') {
    const { refused } = outcome.rejection;
    return `${offset}  ${refused.padEnd(20)}  ${rejectionSentence(refused, 'en')}`;
  }
  const { text, unit, state, seq, stamp, columns } = outcome.indication;
  const more = [
    seq === undefined ? [] : `no. ${seq}`,
    stamp ?? [],
    withColumns ? Object.entries(columns ?? {}).map(([name, cell]) => `${name} ${cell}`) : [],
  ].flat();
  return `${offset}  ${`${text} ${unit}`.padEnd(20)}  ${[state, ...more].join(', ')}`;
}

function textOption({ options }: CommandInput, name: string): string | undefined {
  const value = options[name];
  return typeof value === 'string' ? value : undefined;
}

function parseOffsets(option: unknown): number[] {
  const texts: unknown[] = Array.isArray(option) ? option : option === undefined ? [] : [option];
  return texts
    .map((text) => {
      if (typeof text === 'string' && /^\d{1,15}$/.test(text)) return Number(text);
      throw new BadInput(
        `--reconnect-at: "${String(text)}" is not a byte offset; give a whole number from 0`,
      );
    })
    .sort((a, b) => a - b);
}

async function* readBytes(input: CommandInput): AsyncIterable<Uint8Array> {
  const [file, surplus] = input.positionals;
  if (surplus !== undefined)
    throw new BadInput(`"${surplus}": one file at a time; give one, or - for standard input`);
  if (file === undefined || file === '-') {
    yield* input.standardInput();
    return;
  }
  try {
    for await (const chunk of createReadStream(file)) yield chunk as Buffer;
  } catch (error) {
    const reason = error instanceof Error && 'code' in error ? String(error.code) : undefined;
    if (reason === undefined) throw error;
    throw new BadInput(
      `${file}: cannot be read (${reason}); give the path of an existing file, or - for standard input`,
    );
  }
}
