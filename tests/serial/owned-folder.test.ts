import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  readlinkSync,
  rmSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

let folder: string;
let started: ChildProcess[];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bandwright-owned-'));
  started = [];
});
afterEach(async () => {
  for (const one of started) await kill(one);
  rmSync(folder, { recursive: true, force: true });
});

/** A process of its own with one simulated instrument, whose temporary folder is ours; resolves to its link. */
async function simulate(): Promise<{ process: ChildProcess; link: string; own: string }> {
  const child = spawn(process.execPath, [join(import.meta.dirname, 'killed-simulator.ts')], {
    env: { ...process.env, TMPDIR: folder },
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  started.push(child);
  const [link] = (await once(createInterface({ input: child.stdout! }), 'line')) as [string];
  return { process: child, link, own: dirname(link) };
}

async function kill(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  child.kill('SIGKILL');
  await once(child, 'exit');
}

/** A folder that says it belongs to the process of a living one, with one thing otherwise. */
function forged(name: string, living: string, otherwise: object): string {
  const owner = JSON.parse(readFileSync(join(living, 'owner.json'), 'utf8'));
  const own = join(folder, `bandwright-simulated-${name}`);
  mkdirSync(own);
  writeFileSync(join(own, 'owner.json'), JSON.stringify({ ...owner, ...otherwise }));
  return own;
}

describe('the folder of a simulated instrument', () => {
  it('is removed by the next start when its process was killed, and never while it lives', async () => {
    const killed = await simulate();
    const living = await simulate();
    expect(existsSync(killed.link)).toBe(true);
    await kill(killed.process);
    expect(existsSync(killed.own)).toBe(true);
    const next = await simulate();
    expect(existsSync(killed.own)).toBe(false);
    for (const { link } of [living, next]) expect(existsSync(link)).toBe(true);
  });

  it('is removed when another process has the number now, or the system was started again', async () => {
    const living = await simulate();
    const numberGivenAgain = forged('again', living.own, { startedAfterTicks: '1' });
    const beforeRestart = forged('restart', living.own, { bootId: 'before' });
    await simulate();
    expect([numberGivenAgain, beforeRestart, living.own].map((one) => existsSync(one))).toEqual([
      false,
      false,
      true,
    ]);
  });

  it('is left alone where nobody can say whether its process lives', async () => {
    const living = await simulate();
    const elsewhere = forged('elsewhere', living.own, { namespace: 'pid:[1]', startedAfterTicks: '1' });
    const nameless = join(folder, 'bandwright-simulated-nameless');
    mkdirSync(nameless);
    await simulate();
    expect([elsewhere, nameless].map((one) => existsSync(one))).toEqual([true, true]);
  });

  it('of a version that did not say whose it is goes after a day, when its terminals are gone', async () => {
    const living = await simulate();
    const dayAgo = (Date.now() - 86_500_000) / 1000;
    const old = (name: string, target: string | null, age = dayAgo) => {
      const own = join(folder, `bandwright-simulated-${name}`);
      mkdirSync(own);
      if (target !== null) symlinkSync(target, join(own, 'scale'));
      utimesSync(own, age, age);
      return own;
    };
    const gone = '/dev/pts/no-such-terminal';
    const leftBehind = old('left-behind', gone);
    const kept = [
      old('fresh', gone, Date.now() / 1000),
      old('open', readlinkSync(living.link)),
      old('empty', null),
    ];
    writeFileSync(join(old('other', gone), 'notes.txt'), 'mine');
    utimesSync(join(folder, 'bandwright-simulated-other'), dayAgo, dayAgo);
    await simulate();
    expect(existsSync(leftBehind)).toBe(false);
    for (const one of [...kept, join(folder, 'bandwright-simulated-other')])
      expect(existsSync(one)).toBe(true);
  });
});
