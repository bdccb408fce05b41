import { setTimeout as pause } from 'node:timers/promises';
import type { PortState } from '../../../drivers/port/byte-port.ts';
import { characterFormats } from '../../../shared/teach-view.ts';
import { BadInput, type Command } from './command.ts';
import { numberOption } from './number-option.ts';
import { readProfileOption } from './profile-input.ts';
import { openPort, recordToFile, settingsIn } from './recorded-port.ts';
import { untilEnded } from './until-ended.ts';

/** Writes down what an instrument says, to be played or decoded later. */
export const recordCommand: Command = {
  name: 'record',
  summary: 'Record every byte of a port with its time, to be played again',
  usage: '--port PATH --out FILE [--baud N] [--format 8N1] [--seconds N] [--profile NAME]',
  help: `
Listens to a port and writes what comes into a new file: JSON lines, the header first, then bytes (base64) with their
milliseconds, and each loss and reopening of the port. Never writes to the port. Ends after --seconds, or with Ctrl-C.

  --port PATH      as the command ports lists it; refused while another program has it
  --out FILE       a new file; an existing one is not touched
  --baud N         default: of the profile, else 9600
  --format 8N1     data bits, parity, stop bits; one of ${characterFormats.join(', ')}; default: of the profile, else 8N1
  --seconds N      how long; default: until it is ended
  --profile NAME   a built-in profile or a profile file; its name is kept in the recording
  --json           {"file","bytes","losses","seconds"}

Play it with the command play; teach --replay learns from it. Exit: 0 done, 2 bad input.
`,
  options: {
    port: { type: 'string' },
    out: { type: 'string' },
    baud: { type: 'string' },
    format: { type: 'string' },
    seconds: { type: 'string' },
    profile: { type: 'string' },
  },
  async run({ positionals, options, json, print, say }) {
    if (positionals.length > 0) throw new BadInput(`record: takes no "${positionals[0]}"; see --help`);
    const { port: path, out: file } = options;
    if (typeof path !== 'string') throw new BadInput('--port: missing; give a port of the command ports');
    if (typeof file !== 'string') throw new BadInput('--out: missing; give a new file');
    const seconds = numberOption(options, 'seconds', { least: 0.1, most: 86_400 });
    const profile = options.profile === undefined ? null : await readProfileOption(options.profile);
    if (profile?.hid !== undefined)
      throw new BadInput(`--profile: ${profile.name} is a HID scale, which has no serial port to record`);
    const asked = settingsIn(options);
    const ownWords = options.baud !== undefined || options.format !== undefined;
    const settings = ownWords ? asked : (profile?.serial ?? asked);

    const { createSerialPort } = await import('../../../drivers/port/serial-port.ts');
    const { createSystemClock } = await import('../../../drivers/port/clock.ts');
    const clock = createSystemClock();
    const port = createSerialPort({ path, settings, clock });
    let bytes = 0;
    let losses = 0;
    port.onBytes((chunk) => {
      bytes += chunk.length;
    });
    const about = { profile: profile?.name ?? null, serial: { ...settings } };
    const recording = await recordToFile(port, about, clock, file, '--out');
    await openPort(port).catch(async (error: unknown) => {
      await recording.discard();
      throw error;
    });
    const since = clock.nowMilliseconds();
    port.onState((state: PortState) => {
      if (state.kind === 'lost') losses += 1;
      if ('message' in state) say(state.message);
    });
    if (!json) say(`Recording ${path}. ${seconds === undefined ? 'Ctrl-C ends it.' : ''}`.trim());
    const ended = untilEnded();
    await (seconds === undefined ? ended : Promise.race([ended, pause(seconds * 1000)]));
    await recording.end();
    await port.close();
    const lasted = Math.round((clock.nowMilliseconds() - since) / 100) / 10;
    await print(
      json
        ? JSON.stringify({ file, bytes, losses, seconds: lasted })
        : `${file}: ${bytes} bytes in ${lasted} s, ${losses} losses of the port`,
    );
    return 0;
  },
};
