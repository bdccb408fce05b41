// `npm test`: from a fresh checkout to one line "N passed, N failed". Words behind it are paths for a partial run.
import '../electron/launch/keep-compiled.ts';
import { spawn } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { z } from 'zod';
import { buildOut } from '../electron/launch/build.ts';
import { canInstallPackages, ensurePackages, testPackages } from '../electron/launch/debian-packages.ts';
import { hasDisplay } from '../electron/launch/display.ts';
import { findElectron, sayElectron } from '../electron/launch/find-electron.ts';
import { missingLibraries } from '../electron/launch/shared-libraries.ts';
import { displaysVariable, maximumWorkers } from './desktop/displays.ts';
import { startVirtualDisplays } from './virtual-displays.ts';

const projectFolder = resolve(import.meta.dirname, '..');
const programs = join(projectFolder, 'node_modules');
const artifacts = join(projectFolder, 'tests', '.artifacts');
const resultFile = join(artifacts, 'vitest.json');

const vitestResult = z.object({
  numPassedTests: z.int(),
  numFailedTests: z.int(),
  numPendingTests: z.int(),
  numTodoTests: z.int(),
  numFailedTestSuites: z.int(),
});

interface Step {
  readonly name: string;
  /** Left out of a partial run, which says so. */
  readonly wholeRunOnly?: true;
  /** Without it nothing further can run. */
  readonly needed?: true;
  /** Resolves with what went wrong, undefined when all is well. */
  run(): Promise<string | undefined>;
}

let passed = 0;
let failed = 0;

const steps = (paths: readonly string[]): readonly Step[] => [
  { name: 'Debian packages', needed: true, run: providePackages },
  { name: 'Electron', needed: true, run: provideElectron },
  { name: 'types of shared', wholeRunOnly: true, run: () => typeCheck('shared') },
  { name: 'types of renderer', wholeRunOnly: true, run: () => typeCheck('renderer') },
  { name: 'types of the station', wholeRunOnly: true, run: () => typeCheck('.') },
  { name: 'types of the tests', wholeRunOnly: true, run: () => typeCheck('tests') },
  { name: 'lint', wholeRunOnly: true, run: lint },
  { name: 'build', run: build },
  { name: 'tests', run: () => runVitest(paths) },
];

async function main(paths: readonly string[]): Promise<number> {
  mkdirSync(artifacts, { recursive: true });
  for (const step of steps(paths)) {
    if (paths.length > 0 && step.wholeRunOnly) {
      say(`- ${step.name}: left out of a partial run`);
      continue;
    }
    const startedAt = performance.now();
    const trouble = await step.run().catch((error: unknown) => String(error));
    const seconds = ((performance.now() - startedAt) / 1000).toFixed(1);
    say(
      trouble === undefined ? `✓ ${step.name} (${seconds} s)` : `✗ ${step.name} (${seconds} s): ${trouble}`,
    );
    if (trouble === undefined) continue;
    // The failed tests are counted one by one; anything else counts as one.
    if (step.name !== 'tests' || failed === 0) failed += 1;
    if (step.needed) break;
  }
  process.stdout.write(`${passed} passed, ${failed} failed\n`);
  return failed === 0 ? 0 : 1;
}

async function providePackages(): Promise<string | undefined> {
  if (process.platform !== 'linux') return undefined;
  const provided = await ensurePackages(testPackages, await canInstallPackages(), say);
  return provided.ok ? undefined : provided.error.message;
}

async function provideElectron(): Promise<string | undefined> {
  const electron = await findElectron({ environment: process.env, projectFolder, say });
  if (!electron.ok) return electron.error.message;
  say(`  ${sayElectron(electron.value)}`);
  const missing = await missingLibraries(electron.value.executable);
  return missing.length === 0 ? undefined : `shared libraries are missing: ${missing.join(', ')}`;
}

function typeCheck(folder: string): Promise<string | undefined> {
  return runHere([join(programs, 'typescript', 'bin', 'tsc'), '-p', folder, '--noEmit']);
}

function lint(): Promise<string | undefined> {
  return runHere([
    join(programs, '@biomejs', 'biome', 'bin', 'biome'),
    'check',
    '--diagnostic-level=warn',
    '.',
  ]);
}

async function build(): Promise<string | undefined> {
  await buildOut(say);
  return undefined;
}

async function runVitest(paths: readonly string[]): Promise<string | undefined> {
  rmSync(resultFile, { force: true });
  const vitest = [
    process.execPath,
    join(programs, 'vitest', 'vitest.mjs'),
    'run',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${resultFile}`,
    ...paths,
  ];
  const displays = hasDisplay(process.platform, process.env)
    ? undefined
    : await startVirtualDisplays(maximumWorkers);
  const environment =
    displays === undefined ? {} : { DISPLAY: displays.names[0], [displaysVariable]: displays.names.join() };
  const code = await runProgramHere(vitest, environment).finally(() => displays?.end());
  const result = vitestResult.parse(JSON.parse(readFileSync(resultFile, 'utf8')));
  passed = result.numPassedTests;
  failed += result.numFailedTests;
  const left = result.numPendingTests + result.numTodoTests;
  if (result.numFailedTests > 0) return `${result.numFailedTests} tests failed`;
  if (left > 0) return `${left} tests were not run`;
  if (result.numFailedTestSuites > 0) return `${result.numFailedTestSuites} test files could not be run`;
  return code === 0 ? undefined : `vitest ended with code ${code}`;
}

/** Runs one of npm's programs on this Node; its output goes to the terminal. */
async function runHere(words: readonly string[]): Promise<string | undefined> {
  const code = await runProgramHere([process.execPath, ...words]);
  return code === 0 ? undefined : `ended with code ${code}`;
}

function runProgramHere(words: readonly string[], environment: NodeJS.ProcessEnv = {}): Promise<number> {
  const [program = '', ...rest] = words;
  return new Promise((done, fail) => {
    const child = spawn(program, rest, {
      cwd: projectFolder,
      stdio: 'inherit',
      env: { ...process.env, ...environment },
    });
    child.on('error', fail);
    child.on('close', (code) => done(code ?? 1));
  });
}

function say(line: string): void {
  process.stderr.write(`${line}\n`);
}

process.exitCode = await main(process.argv.slice(2));
