import { z } from 'zod';

/** What is looked at, as `doctor` names it. */
export const healthSubjects = [
  'versions',
  'ports',
  'HID scales',
  'data folder',
  'disk',
  'station',
  'database',
  'signed end',
  'signing key',
  'clock',
  'last verify',
  'backups',
  'log',
  'site',
] as const;
export type HealthSubject = (typeof healthSubjects)[number];

/** Every outcome of a look. A screen has a sentence for each in each of its languages. */
export const healthCodes = [
  'failed',
  'versions',
  'portsShut',
  'portsNone',
  'portsListed',
  'hidReady',
  'hidLibraryMissing',
  'hidFailed',
  'folderMissing',
  'folderShut',
  'folderOpenToOthers',
  'folderGood',
  'diskLow',
  'diskGood',
  'stationNever',
  'stationWorking',
  'stationIdle',
  'databaseMissing',
  'databaseDamaged',
  'databaseFault',
  'databaseGood',
  'endUnreadable',
  'endWithoutEvidence',
  'endMissing',
  'endCutOff',
  'endGood',
  'keyLocked',
  'keyLost',
  'keyUnusable',
  'keyMissing',
  'keyOpenToOthers',
  'keyInFile',
  'keyInStore',
  'clockWrong',
  'clockBehind',
  'clockGood',
  'verifyNever',
  'verifyBroken',
  'verifyOld',
  'verifyGood',
  'backupPlanBad',
  'backupsNone',
  'backupsNeverMade',
  'backupsLate',
  'backupsGood',
  'logErrors',
  'logGood',
  'siteFileBad',
  'siteNeverPushed',
  'siteConnecting',
  'siteUnreachable',
  'sitePushing',
  'siteUpToDate',
  'siteStopped',
] as const;
export type HealthCode = (typeof healthCodes)[number];

const count = z.int().nonnegative();
const name = z.string();

/** What fills the sentences. No path of a file and no key is among it. */
const healthValuesSchema = z
  .strictObject({
    version: name,
    schema: count,
    /** The program that runs ours, with its version. */
    host: name,
    platform: name,
    /** Ports as the system names them. */
    ports: name,
    /** A shared library that is missing, and the Debian package that brings it. */
    library: name,
    package: name,
    /** Rights of a file or folder, octal. */
    mode: name,
    bytes: z.number().nonnegative(),
    sqlite: name,
    events: count,
    sequence: count,
    lastSequence: count,
    /** The beginning of the id of a public key. */
    keyId: name,
    /** Instants, ISO 8601. */
    at: name,
    lastEventAt: name,
    timeZone: name,
    problems: count,
    days: z.int(),
    everyHours: z.number().positive(),
    hours: z.int(),
    errors: count,
    crashes: count,
  })
  .partial();
export type HealthValues = z.output<typeof healthValuesSchema>;

export const healthVerdicts = ['good', 'note', 'bad'] as const;

/** What the station answers to `health`: whatever is not named here stays with `doctor`. */
export const healthViewSchema = z.strictObject({
  /** When it was looked, ISO 8601 with offset. */
  at: z.string(),
  findings: z.array(
    z.strictObject({
      subject: z.enum(healthSubjects),
      code: z.enum(healthCodes),
      verdict: z.enum(healthVerdicts),
      values: healthValuesSchema,
    }),
  ),
});
export type HealthView = z.output<typeof healthViewSchema>;
export type HealthFindingView = HealthView['findings'][number];
