import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { answerCall } from '../../../electron/station/calls.ts';
import type { Action, Hands } from '../../../renderer/actions/action.ts';
import { amendRecord } from '../../../renderer/actions/amend-record.ts';
import { voidJob } from '../../../renderer/actions/void-job.ts';
import { emptyAudit } from '../../../renderer/state/audit-state.ts';
import { createScreenStore, type Question } from '../../../renderer/state/screen-store.ts';
import { type Situation, situationOf } from '../../../renderer/state/situation.ts';
import type { CallName, CallParameters, Snapshot, TimelineView } from '../../../shared/contract.ts';
import { demoPins, TestBench, type TestScreen } from '../../station/test-station.ts';
import { atStart } from '../situations.ts';

const serial = 'SLT-1001';
let bench: TestBench;
let jobId: string;

beforeEach(async () => {
  bench = await new TestBench().open();
  const amber = bench.screen('amber');
  const opened = await bench.mustCall(amber, 'command', {
    command: { kind: 'openJob', serial, headId: 'head-slate', reportedFault: 'loud' },
  });
  jobId = opened.jobId;
  await bench.mustCall(amber, 'command', { command: { kind: 'abandonJob', jobId, reason: 'wrong tool' } });
});
afterEach(() => bench.end());

const people: Snapshot['people'] = [
  { personId: 'amber', name: 'Amber', roles: ['technician'] },
  { personId: 'cedar', name: 'Cedar', roles: ['lead'] },
  { personId: 'dune', name: 'Dune', roles: ['lead'] },
  { personId: 'flint', name: 'Flint', roles: ['auditor'] },
];

function readTimeline(screen: TestScreen): Promise<TimelineView> {
  return bench.mustCall(screen, 'timeline', { serial });
}

/** The audit screen of that person with the serial looked up. */
function lookingAt(timeline: TimelineView, personId: string, more: Partial<Snapshot> = {}): Situation {
  const signedIn = people.find((person) => person.personId === personId) ?? null;
  return situationOf(
    {
      connection: 'connected',
      snapshot: { ...atStart, people, signedIn, ...more },
      verify: null,
      exported: null,
      impact: null,
    },
    { ...createScreenStore().getState(), screen: 'audit', audit: { ...emptyAudit, timeline } },
  );
}

/** The question that an action asks, answered by the real station; and the serial as it is shown afterwards. */
function ask(action: Action, situation: Situation, screen: TestScreen) {
  const asked: { question?: Question; shown?: TimelineView } = {};
  const call = (name: CallName, parameters: CallParameters<CallName>) =>
    answerCall(bench.station, screen, name, JSON.parse(JSON.stringify(parameters))).then((answer) =>
      answer.ok
        ? answer
        : { ok: false, error: 'refusal' in answer ? { kind: 'refusal', refusal: answer.refusal } : answer },
    );
  const hands = {
    call,
    ask: async (name: CallName, parameters: CallParameters<CallName>) => {
      const answer = await call(name, parameters);
      return answer.ok ? { value: (answer as { value: unknown }).value } : null;
    },
    language: () => 'de',
    open: ({ question }: { question: Question }) => {
      asked.question = question;
    },
    setAudit: ({ timeline }: { timeline: TimelineView }) => {
      asked.shown = timeline;
    },
    say: () => undefined,
  };
  action.run(situation, hands as never as Hands);
  if (asked.question === undefined) throw new Error('nothing was asked');
  return { question: asked.question, shown: () => asked.shown };
}

describe('a visit declared void on the audit screen', () => {
  it('takes another person who is a lead, with the right PIN, and says so in its place', async () => {
    const cedar = bench.screen('cedar');
    const { question, shown } = ask(voidJob, lookingAt(await readTimeline(cedar), 'cedar'), cedar);
    const seconds = question.fields.find(({ name }) => name === 'personId')?.people ?? [];
    expect(seconds.map(({ personId }) => personId)).toEqual(['dune']);
    const answers = { jobId, reason: 'tool mixed up', personId: 'dune' };
    expect(await question.submit({ ...answers, pin: '0000' })).toMatchObject({
      refusal: { code: 'pin_wrong' },
    });
    expect(shown()).toBeUndefined();
    expect(await question.submit({ ...answers, pin: demoPins.dune })).toBeNull();
    expect(shown()?.visits[0]).toMatchObject({ phase: 'voided' });
    expect(shown()?.visits[0]?.events.at(-1)).toMatchObject({ kind: 'jobVoided', person: 'Lead Cedar' });
    expect(voidJob.enabled(lookingAt(await readTimeline(cedar), 'cedar'))).toBe(false);
  });
});

describe('an amendment on the audit screen', () => {
  it('names the event of the list that was chosen, and leaves the original as it is', async () => {
    const amber = bench.screen('amber');
    const before = await readTimeline(amber);
    const { question, shown } = ask(amendRecord, lookingAt(before, 'amber'), amber);
    const events = question.fields.find(({ name }) => name === 'event')?.choices ?? [];
    expect(events.map(({ label }) => String(label).split(' · ')[1])).toEqual([
      'Arbeit begonnen',
      'Abgebrochen',
    ]);
    const last = events.at(-1)?.value ?? '';
    expect(await question.submit({ event: last, text: 'the tool was right', reason: 'mistyped' })).toBeNull();
    const [visit] = shown()?.visits ?? [];
    expect(visit?.events.slice(0, -1)).toEqual(before.visits[0]?.events);
    expect(visit?.events.at(-1)?.details).toMatchObject({ of: '1', text: 'the tool was right' });
  });
});

describe('corrections afterwards', () => {
  it('are offered to those who work at the bench, not to an auditor and not at another desk', async () => {
    const timeline = await readTimeline(bench.screen('amber'));
    for (const action of [voidJob, amendRecord]) {
      expect(action.offered(lookingAt(timeline, 'amber'))).toBe(true);
      expect(action.offered(lookingAt(timeline, 'flint'))).toBe(false);
      expect(action.offered(lookingAt(timeline, 'amber', { readOnly: true }))).toBe(false);
    }
  });
});
