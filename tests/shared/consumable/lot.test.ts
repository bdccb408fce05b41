import { describe, expect, it } from 'vitest';
import { foldLot } from '../../../shared/consumable/fold.ts';
import { type Lot, type LotEvent, lotEventSchema } from '../../../shared/consumable/lot.ts';
import { lotExpiryOn, lotRefusal } from '../../../shared/consumable/lot-refusal.ts';
import { lotUseOf } from '../../../shared/consumable/lot-use.ts';
import { decide } from '../../../shared/job/decide.ts';
import type { JobEvent } from '../../../shared/job/event.ts';
import { foldAll } from '../../../shared/job/fold.ts';
import { makeCapture, makeContext, makeSheet, makeStep, text } from '../job/workbench.ts';

const envelope = { lotId: 'lot-1', at: '2026-11-25T09:00:00Z', personId: 'amber' };
const received: LotEvent = {
  kind: 'lotReceived',
  ...envelope,
  consumableId: 'grease-blue',
  name: text('Blue bench grease'),
  expiry: '2027-06-30',
  quantity: 100,
  unit: 'g',
  usableDaysAfterOpening: 90,
  invented: true,
};
const used = (quantity: number | null): LotEvent => ({
  kind: 'lotUsed',
  ...envelope,
  jobId: 'job-1',
  stepId: 'fill',
  quantity,
});

function lotOf(...events: LotEvent[]): Lot {
  const state = [received, ...events].reduce<Lot | undefined>(
    (before, event) => foldLot(before, lotEventSchema.parse(event)),
    undefined,
  );
  if (state === undefined) throw new Error('no events');
  return state;
}

describe('a lot', () => {
  it('is good to the end of its last day', () => {
    const lot = { ...lotOf(), usableDaysAfterOpening: null };
    expect(lotRefusal(lot, '2027-06-30', null)).toBeNull();
    expect(lotRefusal(lot, '2027-07-01', null)).toMatchObject({ code: 'lot_expired', field: 'lotId' });
  });
  it('keeps less long once opened, and the first use opens it', () => {
    const opened = lotOf(used(18), { kind: 'lotOpened', ...envelope, at: '2026-12-24T09:00:00Z' });
    expect(opened.openedAt).toBe('2026-11-25T09:00:00Z');
    expect(lotExpiryOn(opened, '2026-12-01')).toBe('2027-02-23');
    expect(lotRefusal(opened, '2027-02-23', null)).toBeNull();
    expect(lotRefusal(opened, '2027-02-24', null)?.code).toBe('lot_expired');
    // Opened shortly before its expiry, the expiry counts.
    expect(lotExpiryOn({ ...opened, openedAt: '2027-06-01T00:00:00Z' }, '2027-06-10')).toBe('2027-06-30');
  });
  it('is refused when blocked, used up, or too small for what is asked', () => {
    expect(
      lotRefusal(lotOf({ kind: 'lotBlocked', ...envelope, reason: 'Recalled.' }), '2026-12-01', null)?.code,
    ).toBe('lot_blocked');
    expect(lotRefusal(lotOf(used(100)), '2026-12-01', null)?.code).toBe('lot_empty');
    expect(lotRefusal(lotOf(used(99)), '2026-12-01', 1.5)?.code).toBe('lot_short');
    expect(lotRefusal(lotOf(used(99)), '2026-12-01', 1)).toBeNull();
  });
  it('has left what was received less what was used, without the dust of binary fractions', () => {
    expect(lotOf(...Array.from({ length: 10 }, () => used(0.1))).remaining).toBe(99);
    expect(lotOf(used(null)).remaining).toBe(100);
  });
  it('can be traced to every job and step that used it', () => {
    expect(lotOf(used(18), used(null)).uses).toEqual([
      { jobId: 'job-1', stepId: 'fill', at: envelope.at, personId: 'amber', quantity: 18 },
      { jobId: 'job-1', stepId: 'fill', at: envelope.at, personId: 'amber', quantity: null },
    ]);
  });
  it('has no history without its receipt', () => {
    expect(() => foldLot(undefined, used(1))).toThrow('without its receipt');
    expect(() => lotOf(received)).toThrow('twice');
  });
});

describe('what a job takes from a lot', () => {
  const fill = { ...makeStep.mass('fill', 'none'), consumableId: 'grease-blue' };
  if (fill.kind !== 'mass') throw new Error('a mass step');
  const sheet = makeSheet([makeStep.consumable('lot'), fill]);

  function run(): { events: JobEvent[]; uses: ReturnType<typeof lotUseOf>[] } {
    const events: JobEvent[] = [];
    const uses: ReturnType<typeof lotUseOf>[] = [];
    const commands = [
      { kind: 'openJob', serial: 'SN-1', headId: 'head-test' },
      { kind: 'useConsumable', jobId: 'job-1', stepId: 'lot', lotId: 'lot-1' },
      { kind: 'captureMass', jobId: 'job-1', stepId: 'fill' },
    ] as const;
    for (const command of commands) {
      const state = foldAll(events);
      const capture = fill.kind === 'mass' ? makeCapture(fill, 18.25, 1, null) : undefined;
      const result = decide(state, command, makeContext(sheet, { capture }));
      if (!result.ok) throw new Error(result.error.message);
      for (const event of result.value) if (state !== undefined) uses.push(lotUseOf(event, state, sheet));
      events.push(...result.value);
    }
    return { events, uses };
  }

  it('is the weighed fill, booked on the lot that an earlier step named', () => {
    expect(run().uses).toMatchObject([
      { kind: 'lotUsed', lotId: 'lot-1', jobId: 'job-1', stepId: 'lot', quantity: null },
      { kind: 'lotUsed', lotId: 'lot-1', jobId: 'job-1', stepId: 'fill', quantity: 18.25 },
    ]);
  });
});
