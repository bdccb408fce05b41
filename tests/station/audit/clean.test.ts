import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { putInventedDocuments } from '../../../electron/station/audit/invented-documents.ts';
import { chanceOf, inventedJob } from '../../../electron/station/audit/invented-job.ts';
import { openStore } from '../../../electron/station/store/open-store.ts';
import { jobEvidence } from '../../../shared/evidence/job-evidence.ts';
import { type JobEvent, jobEventSchema } from '../../../shared/job/event.ts';
import { appendJobEvents, tickingClock } from '../store/bench.ts';
import { verdictOn } from './tampering.ts';

/** `CLEAN=1000 npx vitest run …` for the long run. */
const rounds = Number(process.env.CLEAN ?? 15);

/** A job with what else may happen to it: notes, holds, a second attempt, an end of another kind, amendments. */
function storyOf(
  number: number,
  chance: () => number,
  documents: Parameters<typeof inventedJob>[2],
): JobEvent[] {
  const events = inventedJob(number, Date.UTC(2026, 2, 2) + number * 900_000, documents);
  const [first] = events;
  const { jobId, at, personId } = first!;
  const envelope = { jobId, at, personId };
  const story = events.flatMap((event): JobEvent[] => {
    if (event.kind === 'jobOpened' || event.kind === 'jobReleased' || chance() < 0.7) return [event];
    return [{ kind: 'noteWritten', ...envelope, stepId: null, text: 'Bemerkung: „µ-Fett“ 😀' }, event];
  });
  const last = story.pop()!;
  const end = chance();
  if (end < 0.15) return story;
  if (end < 0.3) story.push({ kind: 'jobAbandoned', ...envelope, reason: 'seized' });
  else story.push(last);
  if (chance() < 0.3)
    story.push({ kind: 'amendmentMade', ...envelope, of: 2, reason: 'wrong lot', text: 'lot-7' });
  if (chance() < 0.2)
    story.push({ kind: 'jobVoided', ...envelope, reason: 'wrong head', secondPersonId: 'person-9' });
  return story;
}

describe('evidence of a station that only did its work', () => {
  it(`verifies without a finding, ${rounds} times, whatever was done in it`, {
    timeout: 30_000 + rounds * 500,
  }, () => {
    for (let round = 0; round < rounds; round++) {
      let salt = 0;
      const chance = () => chanceOf(round + 1, ++salt);
      const folder = mkdtempSync(join(tmpdir(), 'bandwright-clean-'));
      let start = Date.UTC(2026, 2, 2, 8);
      const open = () => {
        // The wall clock of the next start may be behind that of the last one.
        start += Math.floor((chance() - 0.3) * 86_400_000);
        return openStore({
          folder,
          clock: tickingClock(start),
          createId: () => 'station',
          rules: jobEvidence,
        });
      };
      let store = open();
      const documents = putInventedDocuments(store);
      const stories = Array.from({ length: 1 + Math.floor(chance() * 5) }, (_, index) =>
        storyOf(index + 1, chance, documents),
      );
      // Several jobs at the bench at once, restarts between.
      while (stories.some((story) => story.length > 0)) {
        const story = stories[Math.floor(chance() * stories.length)]!;
        const event = story.shift();
        if (event !== undefined) appendJobEvents(store, [jobEventSchema.parse(event)]);
        if (chance() < 0.05) {
          store.close();
          store = open();
        }
        if (chance() < 0.1) store.putDocument('note', { number: Math.floor(chance() * 4) });
      }
      const whileOpen = verdictOn(folder);
      expect(whileOpen.problems, `round ${round}, open`).toEqual([]);
      store.close();
      expect(verdictOn(folder), `round ${round}`).toMatchObject({
        intact: true,
        problems: [],
        events: whileOpen.events,
      });
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
