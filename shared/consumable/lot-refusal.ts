import { addDays } from '../day.ts';
import { dayOf } from '../identifier.ts';
import type { Refusal } from '../result.ts';
import type { Lot } from './lot.ts';

/** The last day on which the lot may be used: its expiry, or earlier where it keeps less long once opened. */
export function lotExpiryOn(lot: Lot, day: string): string | null {
  if (lot.usableDaysAfterOpening === null) return lot.expiry;
  const opened = lot.openedAt === null ? day : dayOf(lot.openedAt);
  const last = addDays(opened, lot.usableDaysAfterOpening);
  return lot.expiry === null || last < lot.expiry ? last : lot.expiry;
}

/**
 * Why this lot may not be used on that day, or null. `quantity` is what is to be taken, in the lot's own unit,
 * null where it is not known beforehand. A lot is good to the end of its last day.
 */
export function lotRefusal(lot: Lot, day: string, quantity: number | null): Refusal | null {
  const refusal = (code: string, message: string): Refusal => ({ code, field: 'lotId', message });
  if (lot.blocked !== null) {
    return refusal('lot_blocked', `Lot ${lot.lotId} is blocked (${lot.blocked}); use another lot.`);
  }
  const last = lotExpiryOn(lot, day);
  if (last !== null && last < day) {
    return refusal('lot_expired', `Lot ${lot.lotId} expired on ${last}; use another lot.`);
  }
  if (lot.remaining <= 0) return refusal('lot_empty', `Lot ${lot.lotId} is used up; use another lot.`);
  if (quantity !== null && quantity > lot.remaining) {
    const { lotId, remaining, unit } = lot;
    return refusal(
      'lot_short',
      `Lot ${lotId} has ${remaining} ${unit} left, not ${quantity}; use another lot.`,
    );
  }
  return null;
}
