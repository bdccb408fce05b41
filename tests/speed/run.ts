// `npm run speed`: one table of our figures beside those of the bare metal. Asserts nothing.
import { fork, spawn } from 'node:child_process';
import { cpus } from 'node:os';
import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { hasDisplay } from '../../electron/launch/display.ts';
import { findElectron, sayElectron } from '../../electron/launch/find-electron.ts';
import { groups, type SpeedOptions } from './groups.ts';
import { loadText, type Row, tableOf } from './row.ts';

const help = `Usage: npm run speed -- [GROUP]… [--large] [--soak MINUTES]

Measures ours against a bare baseline in the same run and prints one table. Groups: ${Object.keys(groups).join(', ')}.

  --large          by serial among a million jobs too (makes them once: an hour, 20 GB in tests/.artifacts), and ten
                   million events in a site store (an hour, 25 GB in the folder for temporary files)
  --soak MINUTES   how long the bench is fed at 50 Hz; default 2, 0 leaves it out`;

const windowGroups = ['start', 'paint'];
const projectFolder = resolve(import.meta.dirname, '../..');

async function main(words: readonly string[]): Promise<number> {
  const { values, positionals } = parseArgs({
    args: [...words],
    allowPositionals: true,
    options: {
      large: { type: 'boolean', default: false },
      soak: { type: 'string', default: '2' },
      help: { type: 'boolean' },
    },
  });
  const unknown = positionals.filter((name) => !Object.hasOwn(groups, name));
  if (values.help === true || unknown.length > 0) {
    process.stdout.write(`${help}\n`);
    return unknown.length > 0 ? 2 : 0;
  }
  const wanted = positionals.length > 0 ? positionals : Object.keys(groups);
  const needsDisplay = wanted.some((name) => windowGroups.includes(name));
  if (needsDisplay && !hasDisplay(process.platform, process.env)) return runOnVirtualDisplay(words);
  const electron = await findElectron({ environment: process.env, projectFolder, say });
  const before = loadText();
  const rows: Row[] = [];
  let failures = 0;
  for (const name of wanted) {
    say(`${name} … (load ${loadText()})`);
    try {
      rows.push(...(await runGroup(name, { large: values.large, soakMinutes: Number(values.soak) })));
    } catch (error) {
      failures += 1;
      say(String(error));
    }
  }
  const processors = cpus();
  process.stdout.write(
    [
      `Node ${process.versions.node}; ${electron.ok ? sayElectron(electron.value).replace(/, in .*/, '') : electron.error.message}`,
      `${processors.length} processors (${processors[0]?.model.trim()}); load ${before} at the start, ${loadText()} at the end`,
      tableOf(rows),
      '',
    ].join('\n'),
  );
  return failures === 0 ? 0 : 1;
}

/** All of it again on a display without a screen. */
function runOnVirtualDisplay(words: readonly string[]): Promise<number> {
  const program = ['-a', '-s', '-screen 0 1920x1080x24', process.execPath, import.meta.filename, ...words];
  return new Promise((done, failed) => {
    const child = spawn('xvfb-run', program, { stdio: 'inherit' });
    child.on('error', () =>
      failed(new Error('there is no display and no xvfb-run; measure groups without a window')),
    );
    child.on('exit', (code) => done(code ?? 1));
  });
}

function runGroup(name: string, options: SpeedOptions): Promise<readonly Row[]> {
  return new Promise((done, failed) => {
    const child = fork(resolve(import.meta.dirname, 'groups.ts'), [name, JSON.stringify(options)]);
    let rows: readonly Row[] | undefined;
    child.on('message', (message: readonly Row[]) => {
      rows = message;
    });
    child.on('exit', (code) => {
      if (rows === undefined) failed(new Error(`the group ${name} ended with code ${code}`));
      else done(rows);
    });
  });
}

function say(line: string): void {
  process.stderr.write(`${line}\n`);
}

process.exitCode = await main(process.argv.slice(2));
