import { z } from 'zod';
import { dayOf, daySchema, identifierSchema, spokenTextSchema } from '../identifier.ts';
import { roleRefusal } from '../people/permission.ts';
import type { Actor } from '../people/role.ts';
import { ok, type Result, refuse } from '../result.ts';
import { localizedTextSchema } from '../sheet/localized-text.ts';
import { type Lot, type LotEvent, lotUnitSchema } from './lot.ts';
import { lotRefusal } from './lot-refusal.ts';

const ofLot = { lotId: identifierSchema };

/** What may be asked of the stock, besides what jobs take from it. */
export const lotCommandSchema = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('receiveLot'),
    ...ofLot,
    consumableId: identifierSchema,
    name: localizedTextSchema,
    expiry: daySchema.nullable(),
    quantity: z.number().positive(),
    unit: lotUnitSchema,
    usableDaysAfterOpening: z.int().min(1).max(3660).nullable(),
  }),
  z.strictObject({ kind: z.literal('openLot'), ...ofLot }),
  z.strictObject({ kind: z.literal('blockLot'), ...ofLot, reason: spokenTextSchema }),
]);
export type LotCommand = z.infer<typeof lotCommandSchema>;

export interface LotContext {
  readonly at: string;
  readonly person: Actor;
  /** True in an invented workshop. */
  readonly invented: boolean;
}

/** What a command makes of a lot: the events, or the refusal. Never throws. */
export function decideLot(
  state: Lot | undefined,
  command: LotCommand,
  context: LotContext,
): Result<readonly LotEvent[]> {
  const forRole = roleRefusal(context.person, command.kind);
  if (forRole !== null) return { ok: false, error: forRole };
  const { lotId } = command;
  const envelope = { lotId, at: context.at, personId: context.person.personId };
  if (command.kind === 'receiveLot') return decideReceipt(state, command, context);
  if (state === undefined) {
    return refuse('no_such_lot', 'lotId', `There is no lot ${lotId}; receive it first.`);
  }
  if (command.kind === 'blockLot') {
    if (state.blocked !== null) {
      return refuse('lot_blocked', 'lotId', `Lot ${lotId} is blocked already (${state.blocked}).`);
    }
    return ok([{ kind: 'lotBlocked', ...envelope, reason: command.reason }]);
  }
  if (state.openedAt !== null) {
    return refuse('lot_open', 'lotId', `Lot ${lotId} was opened on ${dayOf(state.openedAt)} already.`);
  }
  const unusable = lotRefusal(state, dayOf(context.at), null);
  return unusable === null ? ok([{ kind: 'lotOpened', ...envelope }]) : { ok: false, error: unusable };
}

function decideReceipt(
  state: Lot | undefined,
  command: Extract<LotCommand, { kind: 'receiveLot' }>,
  { at, person, invented }: LotContext,
): Result<readonly LotEvent[]> {
  const { kind: _kind, lotId, expiry, ...received } = command;
  if (state !== undefined) {
    return refuse(
      'lot_known',
      'lotId',
      `Lot ${lotId} is in stock already; give a second delivery a number of its own.`,
    );
  }
  if (expiry !== null && expiry < dayOf(at)) {
    return refuse('lot_expired', 'expiry', `Lot ${lotId} expired on ${expiry}; send it back.`);
  }
  return ok([{ kind: 'lotReceived', lotId, at, personId: person.personId, expiry, invented, ...received }]);
}
