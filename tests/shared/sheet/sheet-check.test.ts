import { describe, expect, it } from 'vitest';
import slate from '../../../seeds/sheets/slate.json' with { type: 'json' };
import { readSheet } from '../../../shared/sheet/sheet-check.ts';
import { makeSheet, makeStep, text } from '../job/workbench.ts';

type Draft = Record<string, unknown> & { steps: Record<string, unknown>[] };

/** The seeded sheet with one thing changed, as a person would change it in the file. */
function changed(change: (draft: Draft) => void): unknown {
  const draft = structuredClone(slate) as unknown as Draft;
  change(draft);
  return draft;
}

const stepOf = (draft: Draft, stepId: string) => {
  const step = draft.steps.find((candidate) => candidate.stepId === stepId);
  if (step === undefined) throw new Error(`no step ${stepId}`);
  return step;
};

const faults: readonly [string, (draft: Draft) => void, string, string][] = [
  ['a missing German text', (d) => delete (d.title as Record<string, unknown>).de, 'title.de', 'missing'],
  ['a word that is no field', (d) => Object.assign(d, { note: 'x' }), 'note', 'unknown_field'],
  ['another format', (d) => Object.assign(d, { format: 'other' }), 'format', 'not_a_choice'],
  [
    'a kind of step that there is not',
    (d) => Object.assign(stepOf(d, 'clean'), { kind: 'dance' }),
    'steps[4].kind',
    'not_a_choice',
  ],
  ['no steps', (d) => Object.assign(d, { steps: [] }), 'steps', 'too_small'],
  [
    'a hazard that there is not',
    (d) => Object.assign(stepOf(d, 'heat'), { cautions: [{ hazard: 'ghosts', text: text('Boo.') }] }),
    'steps[2].cautions[0].hazard',
    'not_a_choice',
  ],
  [
    'a day that is none',
    (d) => Object.assign(d, { effectiveFrom: '2026-02-30' }),
    'effectiveFrom',
    'invalid_format',
  ],
  ['a name with a slash', (d) => Object.assign(d, { sheetId: 'a/b' }), 'sheetId', 'invalid_format'],
  [
    'a limit that is no number',
    (d) => Object.assign(stepOf(d, 'fill').band as object, { lower: '17,4' }),
    'steps[8].band.lower',
    'wrong_type',
  ],
  [
    'limits the wrong way round',
    (d) => Object.assign(stepOf(d, 'fill').band as object, { lower: 19, target: 19.5 }),
    'steps[8].band.lower',
    'inverted_limits',
  ],
  [
    'two steps of one name',
    (d) => Object.assign(stepOf(d, 'pocket'), { stepId: 'fill' }),
    'steps[9].stepId',
    'duplicate_step',
  ],
  [
    'a step after one that there is not',
    (d) => Object.assign(stepOf(d, 'pocket'), { after: ['fill', 'gone'] }),
    'steps[9].after[1]',
    'unknown_step',
  ],
  [
    'a step after itself',
    (d) => Object.assign(stepOf(d, 'pocket'), { after: ['pocket'] }),
    'steps[9].after[0]',
    'circular_order',
  ],
  [
    'a circle of three',
    (d) => Object.assign(stepOf(d, 'fill'), { after: ['reassemble'] }),
    'steps[8].after',
    'circular_order',
  ],
  [
    'a mass in a unit of torque',
    (d) => Object.assign(stepOf(d, 'fill').band as object, { unit: 'N.m' }),
    'steps[8].band.unit',
    'wrong_unit',
  ],
  [
    'a torque in a unit of mass',
    (d) => Object.assign(stepOf(d, 'tighten').band as object, { unit: 'g' }),
    'steps[12].band.unit',
    'wrong_unit',
  ],
  [
    'a fill that may be left out',
    (d) => Object.assign(stepOf(d, 'fill'), { mandatory: false }),
    'steps[8].mandatory',
    'measured_step_optional',
  ],
  [
    'a dish without a tare',
    (d) => Object.assign(stepOf(d, 'fill'), { tare: 'none' }),
    'steps[8].tare',
    'tare_missing',
  ],
  [
    'weighing by difference without a first weighing',
    (d) => Object.assign(stepOf(d, 'fill'), { method: 'difference', tare: 'instrument' }),
    'steps[8].tare',
    'tare_missing',
  ],
  [
    'a fill from a consumable that no step names',
    (d) => Object.assign(stepOf(d, 'grease-lot'), { consumableId: 'other' }),
    'steps[8].consumableId',
    'consumable_not_named',
  ],
  [
    'the lot named only after the fill',
    (d) => Object.assign(stepOf(d, 'fill'), { after: ['clean'] }),
    'steps[8].consumableId',
    'consumable_not_named',
  ],
  [
    'a final pull after a threshold that is not given',
    (d) => {
      const tighten = stepOf(d, 'tighten');
      delete tighten.pullThreshold;
      tighten.finalPull = 'first after threshold';
    },
    'steps[12].pullThreshold',
    'threshold_missing',
  ],
  [
    'a caution that warns of nothing',
    (d) => Object.assign(stepOf(d, 'heat'), { cautions: [] }),
    'steps[2].cautions',
    'caution_missing',
  ],
  [
    'a mandatory check whose no is only noted',
    (d) => Object.assign(stepOf(d, 'intake'), { onFail: 'note' }),
    'steps[0].onFail',
    'noted_check_mandatory',
  ],
  [
    'a reason for a choice that there is not',
    (d) => Object.assign(stepOf(d, 'gear-set'), { reasonRequiredFor: ['scrap'] }),
    'steps[5].reasonRequiredFor[0]',
    'reason_without_choice',
  ],
  [
    'numeric limits the wrong way round',
    (d) => Object.assign(stepOf(d, 'run-in'), { lower: 60 }),
    'steps[14].lower',
    'inverted_limits',
  ],
  [
    'a sign-off that may be left out',
    (d) => Object.assign(stepOf(d, 'sign-off'), { mandatory: false }),
    'steps[16].mandatory',
    'sign_off_optional',
  ],
  [
    'a sign-off by a role that signs nothing',
    (d) => Object.assign(stepOf(d, 'sign-off'), { roles: ['lead', 'auditor'] }),
    'steps[16].roles[1]',
    'role_cannot_sign',
  ],
  [
    'a sign-off before the work is done',
    (d) => Object.assign(stepOf(d, 'sign-off'), { after: ['fill'] }),
    'steps[16].after',
    'sign_off_too_early',
  ],
];

describe('reading a sheet', () => {
  it('takes the seeded sheet as it is', () => {
    expect(readSheet(slate)).toMatchObject({ ok: true });
  });
  for (const [name, change, field, code] of faults) {
    it(`refuses ${name} and names ${field}`, () => {
      expect(readSheet(changed(change))).toMatchObject({ ok: false, error: { field, code } });
    });
  }
  it('refuses what is no sheet at all', () => {
    for (const input of [null, 'sheet', 17, [], {}]) expect(readSheet(input).ok).toBe(false);
  });
  it('sees an optional step that stands free before the sign-off, which would let it be signed first', () => {
    const free = { ...makeStep.note('remarks'), mandatory: false, after: [] };
    const sheet = makeSheet([makeStep.instruction('clean'), free, makeStep.signOff('sign-off')]);
    expect(readSheet(sheet)).toMatchObject({ ok: false, error: { code: 'sign_off_too_early' } });
  });
  it('takes limits on one side only', () => {
    const oneSided = changed((d) => {
      stepOf(d, 'tighten').band = { lower: 25, unit: 'N.m' };
    });
    expect(readSheet(oneSided)).toMatchObject({ ok: true });
  });
});
