import type { SerialSettings } from '../../../drivers/port/serial-settings.ts';
import { LessonRecorder } from '../../../drivers/teach/lesson-recorder.ts';
import { buildProfile, type Display } from '../../../drivers/teach.ts';
import { identifierSchema } from '../../../shared/identifier.ts';
import { quantityOf } from '../../../shared/quantity/unit.ts';
import { unitOfText } from '../../../shared/quantity/unit-text.ts';
import { characterFormats } from '../../../shared/teach-view.ts';
import { guessView } from '../teach-guess.ts';
import { BadInput, type Command, type CommandInput, type OptionValues } from './command.ts';
import { openPort, readRecording, recordToFile, settingsIn } from './recorded-port.ts';

/** Teaches an instrument from its bytes and its display, without the station. */
export const teachCommand: Command = {
  name: 'teach',
  summary: 'Teach an instrument from the bytes of a port and what its display shows',
  usage:
    '(--port PATH [--baud N] [--format 8N1] [--record FILE] | --replay FILE) [--name NAME] [--torque peak|track]',
  help: `
Listens to a port, never writes to it, and guesses how its lines end and which columns are value, unit and state. Then
type what the display shows, one line each, at the moment you read it, at rest and while it moves:

  12.34 g stable
  15.80 g unstable
  23.1 N.m

An empty line or the end of standard input ends the lesson: the profile is printed as JSON, with the recording as its
example. It is a file as --profile of decode takes it.

  --port PATH     as the command ports lists it; refused while another program has it
  --baud N        default 9600
  --format 8N1    data bits, parity, stop bits; one of ${characterFormats.join(', ')}
  --record FILE   keeps every byte with its time, for --replay
  --replay FILE   a recording instead of a port
  --name NAME     name of the profile; default taught
  --torque KIND   what a line of a wrench is: peak (default) or track
  --json          guesses as JSON lines on standard error are left out; only the profile is printed

Exit: 0 done, 1 nothing could be learned, 2 bad input.
`,
  options: {
    port: { type: 'string' },
    baud: { type: 'string' },
    format: { type: 'string' },
    record: { type: 'string' },
    replay: { type: 'string' },
    name: { type: 'string' },
    torque: { type: 'string' },
  },
  async run(input) {
    const { options, print, say, json } = input;
    if (input.positionals.length > 0)
      throw new BadInput(`teach: takes no "${input.positionals[0]}"; see --help`);
    const name = identifierSchema.safeParse(options.name ?? 'taught');
    if (!name.success) throw new BadInput('--name: must be letters, digits, dots, dashes or underscores');
    const torque = options.torque ?? 'peak';
    if (torque !== 'peak' && torque !== 'track') throw new BadInput('--torque: must be peak or track');
    const recorder = new LessonRecorder();
    const source = await openSource(options, recorder, say);
    try {
      if (!json)
        say('Type what the display shows, for example: 12.34 g stable. An empty line ends the lesson.');
      for await (const line of linesOf(input)) {
        if (line === '') break;
        const confirmed = recorder.confirm(displayOf(line));
        if (!confirmed.ok) say(`${line}: ${confirmed.error.message}`);
        else if (!json) say(`${line}: found. ${guessed(recorder)}`);
      }
    } finally {
      await source.close();
    }
    const lesson = recorder.lesson();
    if (!lesson.ok) {
      say(lesson.error.message);
      return 1;
    }
    const unit = lesson.value.confirmations[0]?.display.unit;
    const profile = buildProfile(lesson.value, {
      name: name.data,
      title: { en: name.data, de: name.data },
      ...(source.serial === undefined ? {} : { serial: source.serial }),
      ...(unit !== undefined && quantityOf(unit) === 'torque' ? { torque } : {}),
    });
    if (!profile.ok) {
      say(profile.error.message);
      return 1;
    }
    await print(JSON.stringify(profile.value, null, json ? undefined : 2));
    return 0;
  },
};

interface Source {
  readonly serial: SerialSettings | undefined;
  close(): Promise<void>;
}

async function openSource(
  options: OptionValues,
  recorder: LessonRecorder,
  say: (text: string) => void,
): Promise<Source> {
  const { port: path, replay, record } = options;
  if (typeof replay === 'string') {
    if (path !== undefined) throw new BadInput('--replay: stands beside --port; give one of them');
    for (const entry of (await readRecording(replay)).entries) {
      if ('bytes' in entry) recorder.take(Buffer.from(entry.bytes, 'base64'));
      else recorder.forget();
    }
    return { serial: undefined, close: () => Promise.resolve() };
  }
  if (typeof path !== 'string')
    throw new BadInput('--port: missing; give a port of the command ports, or --replay');
  const serial = settingsIn(options);
  const { createSerialPort } = await import('../../../drivers/port/serial-port.ts');
  const { createSystemClock } = await import('../../../drivers/port/clock.ts');
  const clock = createSystemClock();
  const port = createSerialPort({ path, settings: serial, clock });
  port.onBytes((chunk) => recorder.take(chunk));
  port.onState((state) => {
    if (state.kind === 'open') recorder.forget();
  });
  const recording =
    typeof record === 'string'
      ? await recordToFile(port, { profile: null, serial: { ...serial } }, clock, record, '--record')
      : undefined;
  await openPort(port).catch(async (error: unknown) => {
    await recording?.discard();
    throw error;
  });
  port.onState((state) => {
    if ('message' in state) say(state.message);
  });
  return {
    serial,
    async close() {
      await recording?.end();
      await port.close();
    },
  };
}

/** `12.34 g stable` as a display. */
function displayOf(line: string): Display {
  const [, text = '', unitText = '', state] =
    /^([+-]?[\d.]+)\s*([^\s,]+)(?:[\s,]+(stable|unstable))?$/.exec(line) ?? [];
  const unit = unitOfText(unitText);
  if (unit === null) {
    throw new BadInput(`"${line}" is no display; write it like 12.34 g stable, with a point and a unit`);
  }
  return { text, unit, state: state === 'stable' || state === 'unstable' ? state : null };
}

function guessed(recorder: LessonRecorder): string {
  const guess = guessView(recorder.lesson());
  if (!guess.ok) return guess.message;
  const columns = (guess.lines.at(-1) ?? []).flatMap(({ text, role }) =>
    role === null ? [] : `${role} "${text}"`,
  );
  return `Lines end with ${guess.ends.join(' or ')} (hexadecimal); ${columns.join(', ')}.`;
}

async function* linesOf({ standardInput }: CommandInput): AsyncIterable<string> {
  let rest = '';
  for await (const chunk of standardInput()) {
    const pieces = (rest + Buffer.from(chunk).toString('utf8')).split('\n');
    rest = pieces.pop() ?? '';
    for (const piece of pieces) yield piece.trim();
  }
  if (rest.trim() !== '') yield rest.trim();
}
