import { accessSync, constants, existsSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { PortLister } from '../../drivers/port/port-list.ts';
import manifest from '../../package.json' with { type: 'json' };
import { readLastVerify } from './audit/last-verify.ts';
import { listCrashReports } from './crash-report.ts';
import { freeBytesOf, lowBytes, lowDiskSentence } from './disk-watch.ts';
import { fromEvidence } from './evidence-look.ts';
import { isOpenToOthers, modeOf } from './file-mode.ts';
import type { HealthCheck, HealthFinding } from './health.ts';
import { checkKey } from './key-health.ts';
import { logFolderName } from './log.ts';
import { newestBackupAt, noBackupSentence, readBackupPlan } from './store/backup-plan.ts';
import { databaseName, openDatabaseToRead, schemaVersion } from './store/database.ts';
import { isHeld } from './store/folder-lock.ts';
import { headFileName, readHead } from './store/head-file.ts';
import { storeFaultOf } from './store/store-fault.ts';

export interface HealthParts {
  readonly dataFolder: string;
  /** Now, ISO 8601 with offset. */
  readonly at: string;
  readonly listPorts: PortLister;
  readonly freeBytes?: (folder: string) => Promise<number>;
}

/** Everything that `doctor` looks at, in the order in which it is printed. */
export function healthChecks(parts: HealthParts): Readonly<Record<string, HealthCheck>> {
  const { dataFolder } = parts;
  const always = {
    versions,
    ports: () => checkPorts(parts),
    'data folder': () => checkFolder(dataFolder),
  };
  if (!existsSync(dataFolder)) return always;
  return {
    ...always,
    disk: () => checkDisk(parts),
    station: () => checkHolder(dataFolder),
    database: () => checkDatabase(dataFolder),
    'signed end': () => checkHead(dataFolder),
    'signing key': () => checkKey(dataFolder),
    clock: () => checkClock(parts),
    'last verify': () => checkLastVerify(parts),
    backups: () => checkBackups(parts),
    log: () => checkLog(dataFolder),
    ...(existsSync(join(dataFolder, 'site.json')) ? { site: () => checkSite(parts) } : {}),
  };
}

/** Loaded where a site is configured, and nowhere else. */
async function checkSite({ dataFolder, at }: HealthParts): Promise<HealthFinding> {
  return (await import('./site/site-health.ts')).checkSite(dataFolder, at);
}

function versions(): HealthFinding {
  const { node, electron, modules, napi = '' } = process.versions;
  const host = electron === undefined ? `Node ${node}` : `Electron ${electron} (Node ${node})`;
  const details = {
    bandwright: manifest.version,
    schema: schemaVersion,
    node,
    electron: electron ?? null,
    nodeModules: modules,
    nodeApi: napi,
    platform: `${process.platform} ${process.arch}`,
    packages: manifest.dependencies,
  };
  const sentence = `Bandwright ${manifest.version}, schema ${schemaVersion}, ${host}, ${details.platform}`;
  const values = { version: manifest.version, schema: schemaVersion, host, platform: details.platform };
  return { subject: 'versions', verdict: 'good', code: 'versions', values, sentence, details };
}

async function checkPorts({ listPorts }: HealthParts): Promise<HealthFinding> {
  const ports = (await listPorts()).map(({ path, identity }) => ({
    path,
    transport: identity.transport,
    usable: mayUse(path),
  }));
  const shut = ports.filter(({ usable }) => !usable).map(({ path }) => path);
  const subject = 'ports';
  const details = { ports };
  if (shut.length > 0) {
    const sentence = `${shut.join(', ')} may not be opened by this user; add the user to the group that owns it (on Linux often dialout) and sign in anew`;
    const values = { ports: shut.join(', ') };
    return { subject, verdict: 'bad', code: 'portsShut', values, sentence, details };
  }
  const names = ports.map(({ path }) => path).join(', ');
  return ports.length === 0
    ? {
        ...{ subject, verdict: 'note', code: 'portsNone', values: {}, details },
        sentence: 'no serial port and no HID scale is plugged in',
      }
    : { subject, verdict: 'good', code: 'portsListed', values: { ports: names }, sentence: names, details };
}

function mayUse(path: string): boolean {
  // Only where ports are files.
  if (!path.startsWith('/')) return true;
  try {
    accessSync(path, constants.R_OK | constants.W_OK);
    return true;
  } catch {
    return false;
  }
}

function checkFolder(dataFolder: string): HealthFinding {
  const subject = 'data folder';
  if (!existsSync(dataFolder)) {
    const sentence = 'is not there yet; the first start makes it';
    return { subject, verdict: 'note', code: 'folderMissing', values: {}, sentence, details: {} };
  }
  const mode = modeOf(dataFolder);
  const details = { mode };
  try {
    accessSync(dataFolder, constants.R_OK | constants.W_OK | constants.X_OK);
  } catch {
    const sentence = 'may not be written by this user; change its rights or name another with --data';
    return { subject, verdict: 'bad', code: 'folderShut', values: {}, sentence, details };
  }
  if (isOpenToOthers(dataFolder)) {
    const sentence = `other users may look into it (mode ${mode}); chmod 700 it`;
    return { subject, verdict: 'note', code: 'folderOpenToOthers', values: { mode }, sentence, details };
  }
  const sentence = 'is this user’s alone and may be written';
  return { subject, verdict: 'good', code: 'folderGood', values: {}, sentence, details };
}

async function checkDisk({ dataFolder, freeBytes = freeBytesOf }: HealthParts): Promise<HealthFinding> {
  const bytes = await freeBytes(dataFolder);
  const details = { freeBytes: bytes };
  const subject = 'disk';
  const values = { bytes };
  if (bytes < lowBytes)
    return { subject, verdict: 'bad', code: 'diskLow', values, sentence: lowDiskSentence(bytes), details };
  const gigabytes = (bytes / 1024 ** 3).toFixed(1);
  const sentence = `${gigabytes} GB are free`;
  return { subject, verdict: 'good', code: 'diskGood', values, sentence, details };
}

function checkHolder(dataFolder: string): HealthFinding {
  const subject = 'station';
  if (!existsSync(join(dataFolder, 'station.lock'))) {
    return {
      ...{ subject, verdict: 'note', code: 'stationNever', values: {}, details: { working: false } },
      sentence: 'has not worked here yet',
    };
  }
  const working = isHeld(dataFolder);
  const sentence = working ? 'one works in the folder now' : 'none works in the folder now';
  const code = working ? 'stationWorking' : 'stationIdle';
  return { subject, verdict: 'good', code, values: {}, sentence, details: { working } };
}

function checkDatabase(dataFolder: string): HealthFinding {
  const subject = 'database';
  const file = join(dataFolder, databaseName);
  if (!existsSync(file)) {
    const sentence = 'is not there yet; the first start makes it';
    return { subject, verdict: 'note', code: 'databaseMissing', values: {}, sentence, details: {} };
  }
  const bytes = statSync(file).size;
  try {
    const database = openDatabaseToRead(dataFolder);
    try {
      const quickCheck = String(database.pragma('quick_check(1)', { simple: true })).split('\n')[0] ?? '';
      const sqlite = String(database.prepare('SELECT sqlite_version()').pluck().get());
      const events = Number(database.prepare('SELECT count(*) FROM event').pluck().get());
      const details = { bytes, quickCheck, sqlite, events };
      const sentence = `${events} events, ${(bytes / 1024 ** 2).toFixed(1)} MB, SQLite ${sqlite}, quick check ok`;
      const values = { events, bytes, sqlite };
      if (quickCheck === 'ok')
        return { subject, verdict: 'good', code: 'databaseGood', values, sentence, details };
      const damaged = `the file is damaged (${quickCheck}); run verify to see more and restore the newest backup`;
      return { subject, verdict: 'bad', code: 'databaseDamaged', values: {}, sentence: damaged, details };
    } finally {
      database.close();
    }
  } catch (error) {
    const fault = storeFaultOf(error);
    if (fault === undefined) throw error;
    const details = { bytes, code: fault.code };
    const code = fault.code === 'damaged' ? 'databaseDamaged' : 'databaseFault';
    return { subject, verdict: 'bad', code, values: {}, sentence: fault.message, details };
  }
}

function checkHead(dataFolder: string): HealthFinding {
  const subject = 'signed end';
  const head = readHead(dataFolder);
  if (head === 'unreadable') {
    const sentence = `${headFileName} cannot be read; the station writes it anew with the next event`;
    return { subject, verdict: 'note', code: 'endUnreadable', values: {}, sentence, details: {} };
  }
  const last = lastEventOf(dataFolder);
  if (last === undefined) {
    const sentence = 'there is no evidence to compare with';
    return { subject, verdict: 'note', code: 'endWithoutEvidence', values: {}, sentence, details: {} };
  }
  const details = { head: head === 'missing' ? null : head.sequence, last: last.sequence };
  if (head === 'missing') {
    const sentence = `${headFileName} is missing; the station writes it with the next event`;
    return { subject, verdict: 'note', code: 'endMissing', values: {}, sentence, details };
  }
  const values = { sequence: head.sequence, lastSequence: last.sequence };
  if (head.sequence > last.sequence) {
    const sentence = `the database ends at event ${last.sequence}, but ${head.sequence} were written: the end is missing; restore the newest backup`;
    return { subject, verdict: 'bad', code: 'endCutOff', values, sentence, details };
  }
  const sentence = `event ${head.sequence} of ${last.sequence}`;
  return { subject, verdict: 'good', code: 'endGood', values, sentence, details };
}

/** Earlier than this program; a clock that lost its battery begins in 1970 or 2000. */
const earliest = Date.UTC(2025, 0, 1);
/** A clock may run a little behind the last event after a restart of the computer. */
const toleratedBehind = 2000;

function checkClock({ dataFolder, at }: HealthParts): HealthFinding {
  const subject = 'clock';
  const last = lastEventOf(dataFolder)?.at ?? null;
  const timeZone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  const details = { at, timeZone, lastEventAt: last };
  if (Date.parse(at) < earliest) {
    const sentence = `${at} cannot be right; set the clock`;
    return { subject, verdict: 'bad', code: 'clockWrong', values: { at }, sentence, details };
  }
  if (last !== null && Date.parse(at) < Date.parse(last) - toleratedBehind) {
    const sentence = `${at} is before the last event (${last}); set the clock. Order is not touched, and the jump is noted`;
    const values = { at, lastEventAt: last };
    return { subject, verdict: 'bad', code: 'clockBehind', values, sentence, details };
  }
  const sentence = `${at}, ${timeZone}`;
  return { subject, verdict: 'good', code: 'clockGood', values: { at, timeZone }, sentence, details };
}

const dayMilliseconds = 86_400_000;
/** Common practice, no source: a look at the whole evidence once a month. */
const verifyWithinDays = 31;

function checkBackups({ dataFolder, at }: HealthParts): HealthFinding {
  const subject = 'backups';
  const plan = readBackupPlan(dataFolder);
  if (!plan.ok) {
    return {
      subject,
      verdict: 'bad',
      code: 'backupPlanBad',
      values: {},
      sentence: `${plan.error.field} ${plan.error.message}`.trim(),
      details: {},
    };
  }
  if (plan.value === null) {
    const sentence = 'none are planned; see backup --help, and keep them on another disk';
    return { subject, verdict: 'note', code: 'backupsNone', values: {}, sentence, details: {} };
  }
  const { target, everyHours } = plan.value;
  const newestAt = newestBackupAt(target);
  const details = { ...plan.value, newest: newestAt === undefined ? null : new Date(newestAt).toISOString() };
  if (newestAt === undefined) {
    const sentence = noBackupSentence(target);
    return { subject, verdict: 'bad', code: 'backupsNeverMade', values: {}, sentence, details };
  }
  const hours = Math.floor((Date.parse(at) - newestAt) / 3_600_000);
  const sentence = `every ${everyHours} h to ${target}, the newest ${hours} h ago`;
  const values = { everyHours, hours };
  // A bench that was off over night or a weekend is no reason to act.
  return hours > everyHours + 72
    ? {
        subject,
        verdict: 'bad',
        code: 'backupsLate',
        values,
        sentence: `${sentence}; look at the log`,
        details,
      }
    : { subject, verdict: 'good', code: 'backupsGood', values, sentence, details };
}

function checkLastVerify({ dataFolder, at }: HealthParts): HealthFinding {
  const subject = 'last verify';
  const last = readLastVerify(dataFolder);
  if (last === null) {
    const sentence = 'none is known; run verify';
    return { subject, verdict: 'note', code: 'verifyNever', values: {}, sentence, details: {} };
  }
  const details = { ...last };
  if (!last.intact) {
    const sentence = `${last.at}: NOT INTACT, ${last.problemCount} findings; run verify to see them`;
    const values = { at: last.at, problems: last.problemCount };
    return { subject, verdict: 'bad', code: 'verifyBroken', values, sentence, details };
  }
  const days = Math.floor((Date.parse(at) - Date.parse(last.at)) / dayMilliseconds);
  const values = { at: last.at, events: last.events, days };
  const sentence = `${last.at}: intact, ${last.events} events`;
  return days > verifyWithinDays
    ? {
        ...{ subject, verdict: 'note', code: 'verifyOld', values, details },
        sentence: `${sentence}; ${days} days ago, run it again`,
      }
    : { subject, verdict: 'good', code: 'verifyGood', values, sentence, details };
}

function checkLog(dataFolder: string): HealthFinding {
  const subject = 'log';
  const file = join(dataFolder, logFolderName, 'station.log');
  const text = existsSync(file) ? readFileSync(file, 'utf8') : '';
  const errors = text.split('\n').filter((line) => line.includes('"level":50')).length;
  const crashes = listCrashReports(dataFolder).length;
  const details = { errors, crashes };
  const sentence = `${errors} errors in the log, ${crashes} crash reports`;
  const verdict = crashes > 0 || errors > 0 ? 'note' : 'good';
  return {
    subject,
    verdict,
    code: verdict === 'good' ? 'logGood' : 'logErrors',
    values: details,
    sentence: verdict === 'good' ? sentence : `${sentence}; see log-bundle`,
    details,
  };
}

function lastEventOf(dataFolder: string): { readonly sequence: number; readonly at: string } | undefined {
  return fromEvidence(dataFolder, (evidence) => evidence.eventAt(evidence.lastSequence()));
}
