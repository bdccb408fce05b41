import { existsSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { readLastVerify } from './audit/last-verify.ts';
import { fromEvidence } from './evidence-look.ts';
import type { HealthFinding } from './health.ts';
import { databaseName, openDatabaseToRead } from './store/database.ts';
import { headFileName, readHead } from './store/head-file.ts';
import { storeFaultOf } from './store/store-fault.ts';

/** Earlier than this program; a clock that lost its battery begins in 1970 or 2000. */
const earliest = Date.UTC(2025, 0, 1);
/** A clock may run a little behind the last event after a restart of the computer. */
const toleratedBehind = 2000;

const dayMilliseconds = 86_400_000;
/** Common practice, no source: a look at the whole evidence once a month. */
const verifyWithinDays = 31;

/** SQLite's own quick look at the database file. */
export function checkDatabase(dataFolder: string): HealthFinding {
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

/** Whether the database reaches as far as the signed head beside it. */
export function checkHead(dataFolder: string): HealthFinding {
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

/** Whether the clock can be right: after the last event. `at` is now, ISO 8601 with offset. */
export function checkClock(dataFolder: string, at: string): HealthFinding {
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

/** How the last verification ended, and how long ago. `at` is now, ISO 8601 with offset. */
export function checkLastVerify(dataFolder: string, at: string): HealthFinding {
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

function lastEventOf(dataFolder: string): { readonly sequence: number; readonly at: string } | undefined {
  return fromEvidence(dataFolder, (evidence) => evidence.eventAt(evidence.lastSequence()));
}
