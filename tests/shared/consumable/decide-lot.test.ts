import { describe, expect, it } from 'vitest';
import { decideLot, type LotCommand, lotCommandSchema } from '../../../shared/consumable/decide-lot.ts';
import { foldLot } from '../../../shared/consumable/fold.ts';
import { type Lot, lotEventSchema } from '../../../shared/consumable/lot.ts';
import { at, type Name, people, text } from '../job/workbench.ts';

const receive: LotCommand = {
  kind: 'receiveLot',
  lotId: 'LOT-1',
  consumableId: 'grease-blue',
  name: text('Blue bench grease'),
  expiry: '2026-12-31',
  quantity: 400,
  unit: 'g',
  usableDaysAfterOpening: 30,
};
const open: LotCommand = { kind: 'openLot', lotId: 'LOT-1' };
const block: LotCommand = { kind: 'blockLot', lotId: 'LOT-1', reason: 'Oil has separated.' };

function run(state: Lot | undefined, command: LotCommand, who: Name = 'cedar', when = at): Lot | string {
  const result = decideLot(state, command, { at: when, person: people[who], invented: true });
  if (!result.ok) return result.error.code;
  const events = result.value.map((event) => lotEventSchema.parse(JSON.parse(JSON.stringify(event))));
  expect(events).toEqual(result.value);
  const next = events.reduce<Lot | undefined>(foldLot, state);
  if (next === undefined) throw new Error('no event');
  return next;
}

function lotAfter(...commands: LotCommand[]): Lot {
  let state: Lot | undefined;
  for (const command of commands) {
    const next = run(state, command);
    if (typeof next === 'string') throw new Error(next);
    state = next;
  }
  if (state === undefined) throw new Error('no commands');
  return state;
}

describe('a lot', () => {
  it('is received once, with what the maker printed on it', () => {
    expect(lotAfter(receive)).toMatchObject({
      received: 400,
      remaining: 400,
      expiry: '2026-12-31',
      invented: true,
    });
    expect(run(lotAfter(receive), receive)).toBe('lot_known');
  });

  it('is not taken into stock after its expiry; its last day is still good', () => {
    expect(run(undefined, { ...receive, expiry: '2026-11-24' })).toBe('lot_expired');
    expect(run(undefined, { ...receive, expiry: '2026-11-25' })).toMatchObject({ expiry: '2026-11-25' });
    expect(run(undefined, { ...receive, expiry: null })).toMatchObject({ expiry: null });
  });

  it('is opened once, while it may be used', () => {
    const opened = lotAfter(receive, open);
    expect(opened.openedAt).toBe(at);
    expect(run(opened, open)).toBe('lot_open');
    expect(run(undefined, open)).toBe('no_such_lot');
    expect(run(lotAfter(receive), open, 'amber', '2027-01-01T08:00:00.000+01:00')).toBe('lot_expired');
    expect(run(lotAfter(receive, block), open)).toBe('lot_blocked');
  });

  it('is blocked by a lead with a reason, once', () => {
    expect(lotAfter(receive, block).blocked).toBe('Oil has separated.');
    expect(run(lotAfter(receive, block), block)).toBe('lot_blocked');
    expect(run(lotAfter(receive), block, 'amber')).toBe('not_allowed');
    expect(lotCommandSchema.safeParse({ ...block, reason: '  ' }).success).toBe(false);
  });
});
