import { join } from 'node:path';
import { z } from 'zod';
import { instantSchema } from '../../../shared/identifier.ts';
import { readKept, writeKept } from '../kept-file.ts';
import type { OutboxStatus } from './outbox.ts';

export const siteStatusFileName = 'site-status.json';

const place = z.int().nonnegative();
const statusSchema = z.discriminatedUnion('state', [
  z.object({ state: z.literal('connecting') }),
  z.object({
    state: z.literal('unreachable'),
    code: z.string(),
    message: z.string(),
    acknowledged: place.nullable(),
  }),
  z.object({ state: z.literal('pushing'), acknowledged: place, end: place }),
  z.object({ state: z.literal('up_to_date'), acknowledged: place }),
  z.object({
    state: z.literal('stopped'),
    reason: z.string(),
    detail: z.string(),
    stationId: z.string(),
    commonUpTo: place.nullable(),
    acknowledged: place.nullable(),
  }),
]) satisfies z.ZodType<OutboxStatus>;

const notedSchema = z.object({
  status: statusSchema,
  /** When it was noted, ISO 8601 with offset. */
  at: instantSchema,
});
/** A status with its time, as `site status` and `doctor` find it beside a working station. */
export type NotedStatus = z.infer<typeof notedSchema>;

/** Keeps the last status in the data folder. No evidence: what cannot be written is left out. */
export function noteSiteStatus(dataFolder: string, noted: NotedStatus): void {
  try {
    writeKept(join(dataFolder, siteStatusFileName), noted);
  } catch {
    // A full disk is said elsewhere.
  }
}

/** The last status; null where none is known. */
export function readSiteStatus(dataFolder: string): NotedStatus | null {
  return readKept(join(dataFolder, siteStatusFileName), notedSchema);
}

/** What a person has to decide, by the reason of the refusal. */
const whatToDo: Readonly<Record<string, string>> = {
  fork: 'This station went on from another end than the site has: it was restored from an older backup, or its data folder was copied. Find out which; then whoever answers for the site lets it go on as a branch',
  another_chain:
    'This bench was set up anew: the site has the chain of another station for it. Whoever answers for the site lets this one begin',
  not_yours:
    'Another bench pushes the chain of this station: its data folder was copied. Give this bench a folder of its own',
  no_bench: 'The login is no bench of the site: use the one that "site add-bench" made',
  altered: 'The evidence of this station was altered: run verify',
  broken_link: 'The evidence of this station was altered: run verify',
  broken_seal: 'The evidence of this station was altered: run verify',
  truncated: 'Part of the evidence of this station is missing: run verify',
};

/** A status in one sentence, for people. */
export function siteSentence(status: OutboxStatus): string {
  switch (status.state) {
    case 'connecting':
      return 'connecting';
    case 'unreachable':
      return `${status.message}; tried again by itself, the bench works on${acknowledgedText(status.acknowledged)}`;
    case 'pushing':
      return `event ${status.acknowledged} of ${status.end} is at the site`;
    case 'up_to_date':
      return `everything up to event ${status.acknowledged} is at the site`;
    case 'stopped': {
      const { reason, detail, stationId, commonUpTo } = status;
      const advice = whatToDo[reason] ?? 'Update Bandwright here and at the site, and look into the log';
      const command = commonUpTo === null ? '' : `: site settle --station ${stationId} --after ${commonUpTo}`;
      return `STOPPED, ${reason}: ${detail}. ${advice}${command}`;
    }
  }
}

function acknowledgedText(acknowledged: number | null): string {
  return acknowledged === null ? '' : `; up to event ${acknowledged} the site has it`;
}
