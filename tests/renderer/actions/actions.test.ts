import { describe, expect, it } from 'vitest';
import { actionOfKey, allActions, offeredActions, workingActions } from '../../../renderer/actions/all.ts';
import { emptyDesk } from '../../../renderer/state/desk-state.ts';
import { guidanceOf } from '../../../renderer/state/guidance.ts';
import { createScreenStore, type ScreenState, screenNames } from '../../../renderer/state/screen-store.ts';
import { draftOf } from '../../../renderer/state/sheet-draft.ts';
import { type Situation, situationOf } from '../../../renderer/state/situation.ts';
import { english } from '../../../renderer/wording/english.ts';
import type { Snapshot, VerifyProgress } from '../../../shared/contract.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { roles } from '../../../shared/people/role.ts';
import { atStart, jobAt, sheet, signedOut, tareTaken, withJob } from '../situations.ts';

const actions = allActions(() => '.');

function situation(
  snapshot: Snapshot | null,
  screen: Partial<ScreenState> = {},
  verify: VerifyProgress | null = null,
): Situation {
  return situationOf(
    { connection: 'connected', snapshot, verify, exported: null, impact: null },
    { ...createScreenStore().getState(), ...screen },
  );
}

const held: JobEvent = { kind: 'jobHeld', jobId: 'job-1', at: '2026-11-25T10:00:00Z', personId: 'amber' };
const released: JobEvent = {
  kind: 'jobReleased',
  jobId: 'job-1',
  at: '2026-11-25T10:00:00Z',
  personId: 'amber',
  summary: { steps: [], captures: 0, failedAttempts: 0, concessions: [], nextServiceDue: null },
};
const lookedUp = {
  serial: 'COP-1001',
  openJobId: null,
  visits: [],
  head: null,
  sheets: [
    {
      sheetId: 'sheet-copper',
      revision: 1,
      title: sheet.title,
      headId: sheet.head.headId,
      headName: sheet.head.name,
    },
  ],
};

/** Every kind of moment that the page knows. */
const moments: readonly (readonly [string, Situation])[] = [
  ['before the first snapshot', situation(null)],
  ['nobody signed in', situation(signedOut)],
  ['a PIN is typed', situation(signedOut, { signingIn: { personId: 'amber', name: 'Amber' } })],
  ['a serial is awaited', situation(atStart)],
  ['a head is chosen', situation(atStart, { lookedUp })],
  ...sheet.steps.map(({ stepId }): [string, Situation] => [
    `step ${stepId}`,
    situation(withJob(jobAt(stepId))),
  ]),
  ['the dish is tared', situation(withJob(jobAt('fill', [tareTaken])))],
  ['everything is done', situation(withJob(jobAt(null)))],
  ['the job is on hold', situation(withJob(jobAt('fill', [held])))],
  ['the job is released', situation(withJob(jobAt(null, [released])))],
  ...screenNames.map((screen): [string, Situation] => [`screen ${screen}`, situation(atStart, { screen })]),
  ...screenNames.map((screen): [string, Situation] => [
    `screen ${screen} before one who may do everything`,
    situation({ ...atStart, signedIn: { personId: 'all', name: 'All', roles } }, { screen }),
  ]),
  [
    'a sheet is written',
    situation(
      { ...atStart, signedIn: { personId: 'all', name: 'All', roles } },
      { screen: 'sheets', desk: { ...emptyDesk, sheetDraft: draftOf(sheet) } },
    ),
  ],
];

describe('the table of actions', () => {
  it.each(moments)('has no key twice and words for every action when %s', (_, moment) => {
    const offered = offeredActions(actions, moment);
    const keys = offered.flatMap(({ key }) => (key === null ? [] : [key]));
    expect(keys).toEqual([...new Set(keys)]);
    for (const action of offered) expect(english[action.label(moment)]).toBeTruthy();
  });

  it('gives every action a name of its own', () => {
    const ids = actions.map(({ id }) => id);
    expect(ids).toEqual([...new Set(ids)]);
  });

  it('reaches every action by a key or by a menu', () => {
    const unreachable = actions.filter(({ key, place }) => key === null && !place.endsWith('menu'));
    expect(unreachable).toEqual([]);
  });

  it('uses function keys, Enter, Escape and arrows only, because a scanner types letters', () => {
    for (const { key } of actions) {
      expect(key ?? 'Enter').toMatch(/^((Ctrl|Shift)\+)?(F\d+|Enter|Escape|Arrow(Up|Down)|Page(Up|Down))$/);
    }
  });

  it.each(moments.filter(([name]) => name.startsWith('step ') || name === 'the dish is tared'))(
    'does the main action by Enter at %s',
    (_, moment) => {
      const main = offeredActions(actions, moment, 'main');
      expect(main).toHaveLength(1);
      expect(actionOfKey(actions, moment, 'Enter')).toBe(main[0]);
    },
  );

  it('asks for the empty dish first and captures only then', () => {
    expect(actionOfKey(actions, situation(withJob(jobAt('fill'))), 'Enter')?.id).toBe('take-tare');
    const tared = situation(withJob(jobAt('fill', [tareTaken])));
    expect(actionOfKey(actions, tared, 'Enter')?.id).toBe('capture-mass');
  });

  it('offers nothing that moves an instrument on a bench of real instruments', () => {
    const real = situation({ ...withJob(jobAt('fill', [tareTaken])), simulated: false });
    expect(offeredActions(actions, real, 'simulator')).toEqual([]);
    const simulated = situation(withJob(jobAt('fill', [tareTaken])));
    expect(offeredActions(actions, simulated, 'simulator').map(({ key }) => key)).toContain('F10');
  });

  it('calls only those keys working that do something for this person', () => {
    const keysOf = (moment: Situation) => workingActions(actions, moment).map(({ key }) => key);
    const technician = situation(atStart, { screen: 'people' });
    const all = situation(
      { ...atStart, signedIn: { personId: 'all', name: 'All', roles } },
      { screen: 'people' },
    );
    expect(keysOf(technician)).not.toContain('F3');
    expect(keysOf(technician)).toContain('F7');
    expect(keysOf(all)).toContain('F3');
  });

  it('does nothing twice while a call is under way', () => {
    const busy = situation(withJob(jobAt('fill', [tareTaken])), { busy: true });
    expect(actionOfKey(actions, busy, 'Enter')).toBeUndefined();
  });
});

describe('a job that was handed over', () => {
  const handedOver: JobEvent = {
    kind: 'jobHandedOver',
    jobId: 'job-1',
    at: '2026-11-25T10:00:00Z',
    personId: 'amber',
    toPersonId: 'birch',
  };
  const givenAway = (stepId: string, more: readonly JobEvent[] = []) =>
    situation(withJob(jobAt(stepId, [...more, handedOver])));

  it('offers no work to whoever gave it away, and says what can be done instead', () => {
    for (const moment of [givenAway('fill', [tareTaken]), givenAway('tighten'), givenAway('gear-set')]) {
      expect(offeredActions(actions, moment, 'main')).toEqual([]);
      expect(guidanceOf(moment, 'pass', 'inside')).toBe('next.notHolder');
      expect(actionOfKey(actions, moment, 'Escape')?.id).toBe('put-aside');
    }
  });
});

describe('the key that checks the evidence', () => {
  const auditor: Snapshot = {
    ...atStart,
    signedIn: { personId: 'flint', name: 'Flint', roles: ['auditor'] },
  };
  const running = { done: 5, total: 9, finished: false, stopped: false, intact: null, problems: [] };
  const onAudit = (verify: VerifyProgress | null) =>
    actionOfKey(actions, situation(auditor, { screen: 'audit' }, verify), 'F8')?.id;

  it('stops the check while it runs, and begins another one afterwards', () => {
    expect(onAudit(null)).toBe('verify-evidence');
    expect(onAudit(running)).toBe('stop-verify');
    expect(onAudit({ ...running, stopped: true })).toBe('verify-evidence');
    expect(onAudit({ ...running, finished: true, intact: true })).toBe('verify-evidence');
  });
});

describe('the order of steps', () => {
  const beforeParts = jobAt('gear-set');

  it('lets a person take another step that can be done now, and comes back to the first', () => {
    const first = situation(withJob(beforeParts));
    expect(first.step?.stepId).toBe('gear-set');
    const changes: Partial<ScreenState>[] = [];
    const action = actionOfKey(actions, first, 'PageDown');
    action?.run(first, { set: (change: Partial<ScreenState>) => changes.push(change) } as never);
    expect(changes[0]?.chosenStepId).toBe('o-ring');
    const second = situation(withJob(beforeParts), changes[0]);
    expect(second.step?.stepId).toBe('o-ring');
  });

  it('goes on with the job when the chosen step is done', () => {
    const after = situation(withJob(jobAt('fill')), { chosenStepId: 'o-ring' });
    expect(after.step?.stepId).toBe('fill');
  });

  it('never takes a step that measures out of its turn, because the station measures for the first', () => {
    const after = situation(withJob(jobAt('grease-lot')), { chosenStepId: 'tighten' });
    expect(after.step?.stepId).toBe('grease-lot');
  });
});
