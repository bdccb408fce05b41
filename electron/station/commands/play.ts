import { lstatSync, rmSync, statSync, symlinkSync } from 'node:fs';
import { resolve } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { BadInput, type Command } from './command.ts';
import { numberOption } from './number-option.ts';
import { readRecording } from './recorded-port.ts';
import { untilEnded } from './until-ended.ts';

/** Plays a recording as an instrument on a port of its own. */
export const playCommand: Command = {
  name: 'play',
  summary: 'Play a recording as an instrument that any program can read',
  usage: 'RECORDING [--speed N] [--delay SECONDS] [--link PATH]',
  help: `
Plays the bytes of a recording (of the commands record and teach --record), with their times, into a pseudo-terminal and
prints its path. The path stays the same while the cable is out: where the recorded port was lost, it is pulled and put
back. Ends at the end of the recording. What is written to it goes nowhere. Like an instrument it waits for no reader:
what nobody reads is lost, and counted.

  --speed N         1 as it was recorded (default), 10 ten times as fast; from 0.1 to 1000
  --delay SECONDS   between the printed path and the first byte, for a reader to open it; default 1
  --link PATH       a further path of your choice that leads to it, taken away at the end; for the register of the
                    station, which keeps the path of an instrument
  --json            {"path","profile","seconds"} at once, {"sentBytes","lostBytes"} at the end

Exit: 0 done, 2 bad input.
`,
  options: { speed: { type: 'string' }, delay: { type: 'string' }, link: { type: 'string' } },
  async run({ positionals, options, json, print, say }) {
    const [file, ...rest] = positionals;
    if (file === undefined) throw new BadInput('play: give a recording; see --help');
    if (rest.length > 0) throw new BadInput(`play: takes one recording, not "${rest[0]}" too`);
    const speed = numberOption(options, 'speed', { least: 0.1, most: 1000 }) ?? 1;
    const delay = numberOption(options, 'delay', { least: 0, most: 3600 }) ?? 1;
    const recording = await readRecording(file);
    const { hasPseudoTerminals } = await import('../../../drivers/simulated/native-pty.ts');
    if (!hasPseudoTerminals()) throw new BadInput('play: this system has no pseudo-terminals to play into');
    const { createPseudoTerminal } = await import('../../../drivers/simulated/pseudo-terminal.ts');
    const { playRecording } = await import('../../../drivers/simulated/played-instrument.ts');
    const { createSystemClock } = await import('../../../drivers/port/clock.ts');
    const line = createPseudoTerminal('played');
    let takeLinkAway = () => {};
    try {
      if (typeof options.link === 'string') takeLinkAway = makeLink(options.link, line.path);
      const path = typeof options.link === 'string' ? resolve(options.link) : line.path;
      const seconds = (recording.entries.at(-1)?.atMilliseconds ?? 0) / 1000 / speed;
      await print(json ? JSON.stringify({ path, profile: recording.header.profile, seconds }) : path);
      const ended = untilEnded();
      const isOver = await Promise.race([ended.then(() => true), pause(delay * 1000, false)]);
      if (isOver) return 0;
      const played = playRecording(recording, line, createSystemClock(), speed);
      void ended.then(played.stop);
      const { sentBytes, lostBytes } = await played.ended;
      if (json) await print(JSON.stringify({ sentBytes, lostBytes }));
      else say(`${sentBytes} bytes played${lostBytes === 0 ? '' : `, ${lostBytes} more that nobody read`}.`);
      return 0;
    } finally {
      takeLinkAway();
      line.dispose();
    }
  },
};

/** Makes a link; one that leads nowhere, left by a play that was killed, is taken over. Returns how it is taken away. */
function makeLink(link: string, target: string): () => void {
  const isThere = lstatSync(link, { throwIfNoEntry: false });
  if (isThere?.isSymbolicLink() && statSync(link, { throwIfNoEntry: false }) === undefined) rmSync(link);
  try {
    symlinkSync(target, link);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    throw new BadInput(`--link: ${link} cannot be made (${code}); give a new path`);
  }
  return () => rmSync(link, { force: true });
}
