import { createWriteStream } from 'node:fs';
import { readFile, rm } from 'node:fs/promises';
import type { BytePort } from '../../../drivers/port/byte-port.ts';
import type { Clock } from '../../../drivers/port/clock.ts';
import {
  parseRecording,
  type Recording,
  type RecordingHeader,
  recordPort,
} from '../../../drivers/port/recording.ts';
import type { SerialSettings } from '../../../drivers/port/serial-settings.ts';
import { characterFormats } from '../../../shared/teach-view.ts';
import { settingsOf } from '../serial-format.ts';
import { BadInput, badInput, type OptionValues } from './command.ts';

/** The settings that `--baud` and `--format` ask for. */
export function settingsIn({ baud = '9600', format = '8N1' }: OptionValues): SerialSettings {
  if (typeof baud !== 'string' || !/^\d{2,7}$/.test(baud)) {
    throw new BadInput(`--baud: "${String(baud)}" is no baud rate; give a number such as 9600`);
  }
  const known = characterFormats.find((one) => one === format);
  if (known === undefined) {
    throw new BadInput(
      `--format: "${String(format)}" is not known; give one of ${characterFormats.join(', ')}`,
    );
  }
  return settingsOf(Number(baud), known);
}

/** Opens a port and waits until it is open; one that is absent, in use or denied is bad input, in its own words. */
export async function openPort(port: BytePort): Promise<void> {
  const opened = port.open();
  if (!opened.ok) throw badInput(opened.error);
  const decided = () => port.state.kind !== 'closed' && port.state.kind !== 'opening';
  if (!decided()) {
    await new Promise<void>((done) => {
      const stop = port.onState(() => {
        if (!decided()) return;
        stop();
        done();
      });
    });
  }
  const { state } = port;
  if (state.kind === 'open') return;
  await port.close();
  throw new BadInput(`--port: ${'message' in state ? state.message : state.kind}`);
}

/** A recording that is being written. */
export interface RecordingFile {
  /** Ends it; resolves when all of it is on the disk. */
  end(): Promise<void>;
  /** Takes the file away: nothing came of it. */
  discard(): Promise<void>;
}

/**
 * Records a port from now on into a new file.
 *
 * @param option name of the option that names the file, for its refusal
 */
export async function recordToFile(
  port: BytePort,
  about: Pick<RecordingHeader, 'profile' | 'serial'>,
  clock: Clock,
  path: string,
  option: string,
): Promise<RecordingFile> {
  const file = createWriteStream(path, { flags: 'wx', mode: 0o600 });
  await new Promise<void>((done, failed) => {
    file.once('open', () => done());
    file.once('error', (error: NodeJS.ErrnoException) =>
      failed(new BadInput(`${option}: ${path} cannot be written (${error.code}); give a new file`)),
    );
  });
  const stop = recordPort(port, about, clock, (line) => file.write(`${line}\n`));
  const end = () => {
    stop();
    return new Promise<void>((done, failed) => {
      file.once('error', failed);
      file.end(done);
    });
  };
  return {
    end,
    async discard() {
      await end();
      await rm(path, { force: true });
    },
  };
}

/** A recording from a file. */
export async function readRecording(path: string): Promise<Recording> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch {
    throw new BadInput(`${path}: cannot be read; give a file that record or teach --record has written`);
  }
  const recording = parseRecording(text);
  if (!recording.ok) throw badInput(recording.error);
  return recording.value;
}
