import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { logFolderName } from './log.ts';

const nameShape = /^crash-\d{8}T\d{9}Z(-\d+)?\.json$/;
const mostKept = 10;

/** Crash reports of a data folder, oldest first. They stay on this machine until somebody takes them along. */
export function listCrashReports(dataFolder: string): readonly string[] {
  const folder = join(dataFolder, logFolderName);
  try {
    return readdirSync(folder)
      .filter((name) => nameShape.test(name))
      .sort()
      .map((name) => join(folder, name));
  } catch {
    return [];
  }
}

/**
 * Writes down why the station ends: the mistake with its stack, and what it ran on. No person, no reading, no PIN.
 *
 * @param at now, ISO 8601
 * @returns the file, or null where it could not be written
 */
export function writeCrashReport(dataFolder: string, error: unknown, at: string): string | null {
  const folder = join(dataFolder, logFolderName);
  const mistake = error instanceof Error ? (error.stack ?? error.message) : String(error);
  const { node, electron = null } = process.versions;
  const report = {
    at,
    mistake,
    upSeconds: Math.round(process.uptime()),
    memoryBytes: process.memoryUsage.rss(),
    ...{ node, electron, platform: `${process.platform} ${process.arch}` },
  };
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    const stamp = new Date(at).toISOString().replaceAll(/[-:.]/g, '');
    const file = join(folder, `crash-${stamp}-${process.pid}.json`);
    writeFileSync(file, `${JSON.stringify(report, undefined, 2)}\n`, { mode: 0o600 });
    const old = listCrashReports(dataFolder);
    for (const path of old.slice(0, Math.max(0, old.length - mostKept))) rmSync(path, { force: true });
    return file;
  } catch {
    return null;
  }
}

/**
 * Ends the process at a mistake that nobody caught: a station in an unknown state must not judge. Whoever started it
 * starts it again; nothing acknowledged is lost.
 */
export function endAtMistakes(dataFolder: string): void {
  process.on('uncaughtException', (error) => {
    const file = writeCrashReport(dataFolder, error, new Date().toISOString());
    const mistake = error instanceof Error ? (error.stack ?? error.message) : String(error);
    const first = mistake.split('\n')[0];
    process.stderr.write(
      `${mistake}\nthe station made a mistake and ends: ${first}${file === null ? '' : ` (${file})`}\n`,
    );
    process.exit(1);
  });
}
