import type { HealthFinding } from '../health.ts';
import { siteAccess } from './site-access.ts';
import { readSiteFile } from './site-file.ts';
import { readSiteStatus, siteSentence } from './site-status.ts';

/** A station that works pushes within minutes; an hour without a word is worth a look. Common practice, no source. */
const lateMilliseconds = 3_600_000;

const codes = {
  connecting: 'siteConnecting',
  unreachable: 'siteUnreachable',
  pushing: 'sitePushing',
  up_to_date: 'siteUpToDate',
  stopped: 'siteStopped',
} as const;

/** Looks at the settings of the site and at what the outbox noted last. Connects to nothing. */
export function checkSite(dataFolder: string, at: string): HealthFinding {
  const subject = 'site';
  const file = readSiteFile(dataFolder);
  const access = file.ok && file.value !== null ? siteAccess(file.value) : file;
  if (!access.ok) {
    const { field, message } = access.error;
    return {
      subject,
      verdict: 'bad',
      code: 'siteFileBad',
      values: {},
      sentence: field === '' ? message : `${field}: ${message}`,
      details: {},
    };
  }
  const noted = readSiteStatus(dataFolder);
  if (noted === null)
    return {
      subject,
      verdict: 'note',
      code: 'siteNeverPushed',
      values: {},
      sentence: 'nothing was pushed yet; start the station, or "site push"',
      details: {},
    };
  const { status } = noted;
  const sentence = `${noted.at}: ${siteSentence(status)}`;
  const details = { notedAt: noted.at, ...status };
  const code = codes[status.state];
  const values = {
    at: noted.at,
    ...('acknowledged' in status && status.acknowledged !== null ? { sequence: status.acknowledged } : {}),
    ...(status.state === 'pushing' ? { lastSequence: status.end } : {}),
  };
  if (status.state === 'stopped') return { subject, verdict: 'bad', code, values, sentence, details };
  const isLate = status.state !== 'up_to_date' && Date.parse(at) - Date.parse(noted.at) > lateMilliseconds;
  const verdict = isLate || status.state === 'unreachable' ? 'note' : 'good';
  return { subject, verdict, code, values, sentence, details };
}
