import { describe, expect, it } from 'vitest';
import { decideSheet, type SheetCommand, sheetCommandSchema } from '../../../shared/sheet/decide-sheet.ts';
import { differencesBetween } from '../../../shared/sheet/difference.ts';
import {
  foldSheet,
  revisionInForce,
  type SheetState,
  sheetEventSchema,
} from '../../../shared/sheet/revision.ts';
import type { ServiceSheet } from '../../../shared/sheet/sheet.ts';
import { at, makeSheet, makeStep, type Name, people } from '../job/workbench.ts';

const first = makeSheet([
  makeStep.instruction('clean'),
  makeStep.torque('tighten'),
  makeStep.signOff('sign'),
]);
const second: ServiceSheet = { ...first, revision: 2, effectiveFrom: '2027-01-01' };
const sheetId = first.sheetId;

function run(state: SheetState | undefined, command: SheetCommand, who: Name = 'cedar', pinVerified = true) {
  const result = decideSheet(state, command, { at, person: people[who], pinVerified });
  if (!result.ok) return result.error.code;
  return result.value.reduce<SheetState | undefined>((next, event) => {
    expect(sheetEventSchema.parse(JSON.parse(JSON.stringify(event)))).toEqual(event);
    return foldSheet(next, event);
  }, state);
}

function historyOf(...commands: [SheetCommand, Name?][]): SheetState {
  let state: SheetState | undefined;
  for (const [command, who] of commands) {
    const next = run(state, command, who);
    if (typeof next === 'string' || next === undefined) throw new Error(`refused: ${next}`);
    state = next;
  }
  if (state === undefined) throw new Error('no commands');
  return state;
}

const draft: SheetCommand = { kind: 'draftSheet', sheet: first };
const submit: SheetCommand = { kind: 'submitSheet', sheetId, revision: 1 };
const approve: SheetCommand = { kind: 'approveSheet', sheetId, revision: 1 };
const withdraw: SheetCommand = { kind: 'withdrawSheet', sheetId, revision: 1, reason: 'Wrong torque.' };

describe('revisions of a sheet', () => {
  it('come into force when a second person approves them', () => {
    const state = historyOf([draft], [submit], [approve, 'dune']);
    expect(revisionInForce(state, '2026-11-25')?.revision).toBe(1);
    expect(revisionInForce(state, '2025-01-05')).toBeNull();
  });

  it('are approved by nobody who wrote or submitted them', () => {
    expect(run(historyOf([draft], [submit]), approve, 'cedar')).toBe('own_sheet');
    expect(run(historyOf([draft], [submit, 'dune']), approve, 'dune')).toBe('own_sheet');
    expect(run(historyOf([draft, 'dune'], [draft], [submit]), approve, 'dune')).toBe('own_sheet');
  });

  it('take a lead at every turn, and the PIN for the approval', () => {
    const submitted = historyOf([draft], [submit]);
    for (const who of ['amber', 'ember', 'fern'] as const) {
      expect(run(undefined, draft, who)).toBe('not_allowed');
      expect(run(submitted, approve, who)).toBe('not_allowed');
    }
    expect(run(submitted, approve, 'dune', false)).toBe('pin_required');
  });

  it('go back to the authors with a reason, and are approved after another submission', () => {
    const back: SheetCommand = {
      kind: 'returnSheet',
      sheetId,
      revision: 1,
      reason: 'Torque is missing its source.',
    };
    const returned = historyOf([draft], [submit], [back, 'dune']);
    expect(returned.revisions[0]).toMatchObject({ status: 'draft', reason: 'Torque is missing its source.' });
    expect(run(returned, approve, 'dune')).toBe('wrong_status');
    expect(
      revisionInForce(
        historyOf([draft], [submit], [back, 'dune'], [draft], [submit], [approve, 'dune']),
        '2026-11-25',
      ),
    ).not.toBeNull();
  });

  it('follow each other by number, and the newer one takes over on its effective day', () => {
    const one = historyOf([draft], [submit], [approve, 'dune']);
    expect(run(one, draft)).toBe('wrong_revision');
    expect(run(one, { kind: 'draftSheet', sheet: { ...first, revision: 3 } })).toBe('wrong_revision');
    const both = historyOf(
      [draft],
      [submit],
      [approve, 'dune'],
      [{ kind: 'draftSheet', sheet: second }],
      [{ kind: 'submitSheet', sheetId, revision: 2 }],
      [{ kind: 'approveSheet', sheetId, revision: 2 }, 'dune'],
    );
    expect(revisionInForce(both, '2026-12-31')?.revision).toBe(1);
    expect(revisionInForce(both, '2027-01-01')?.revision).toBe(2);
    const withdrawn = run(both, { ...withdraw, revision: 2 });
    if (typeof withdrawn !== 'object') throw new Error('not withdrawn');
    // An older text never comes back by itself.
    expect(revisionInForce(withdrawn, '2027-01-01')).toBeNull();
  });

  it('stay with their head, are well-formed, and are not drafted while one waits for approval', () => {
    const one = historyOf([draft], [submit]);
    expect(run(one, { kind: 'draftSheet', sheet: second })).toBe('wrong_status');
    const approved = historyOf([draft], [submit], [approve, 'dune']);
    const other = { ...second, head: { ...second.head, headId: 'head-other' } };
    expect(run(approved, { kind: 'draftSheet', sheet: other })).toBe('wrong_head');
    const torque = { ...makeStep.torque('tighten'), mandatory: false };
    expect(run(undefined, { kind: 'draftSheet', sheet: makeSheet([torque]) })).toBe('measured_step_optional');
    expect(run(approved, { ...submit, sheetId: 'sheet-other' })).toBe('no_such_sheet');
    expect(run(undefined, withdraw)).toBe('no_such_sheet');
  });

  it('know five commands and no other', () => {
    expect(sheetCommandSchema.safeParse({ kind: 'deleteSheet', sheetId, revision: 1 }).success).toBe(false);
  });
});

describe('what differs between two revisions', () => {
  it('is nothing between a sheet and its copy, whatever the number', () => {
    expect(differencesBetween(first, { ...structuredClone(first), revision: 9 })).toEqual([]);
  });

  it('names each value with what it was and what it is', () => {
    const changed = structuredClone(first);
    const step = changed.steps[1];
    if (step?.kind !== 'torque') throw new Error('the second step is the torque');
    step.band = { target: 28, lower: 24.84, unit: 'N.m' };
    changed.title.de = 'Neu fetten';
    expect(differencesBetween(first, changed)).toEqual([
      { path: 'title.de', before: 'Re-grease', after: 'Neu fetten' },
      { path: 'steps[tighten].band.target', before: 27, after: 28 },
      { path: 'steps[tighten].band.upper', before: 29.16, after: null },
    ]);
  });

  it('shows a new, a dropped and a moved step', () => {
    const note = makeStep.note('remarks');
    const [clean, tighten, sign] = first.steps;
    if (!clean || !tighten || !sign) throw new Error('three steps');
    const changed = { ...first, steps: [note, tighten, clean] };
    expect(differencesBetween(first, changed)).toEqual([
      { path: 'steps', before: ['clean', 'tighten'], after: ['tighten', 'clean'] },
      { path: 'steps[remarks]', before: null, after: note },
      { path: 'steps[sign]', before: sign, after: null },
    ]);
  });
});
