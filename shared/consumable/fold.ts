import type { Lot, LotEvent } from './lot.ts';

/** The state after one more event. Throws where the events cannot be those of one lot. */
export function foldLot(state: Lot | undefined, event: LotEvent): Lot {
  if (event.kind === 'lotReceived') {
    if (state !== undefined) throw new Error(`lot ${event.lotId} was received twice`);
    const { lotId, consumableId, name, expiry, quantity, unit, usableDaysAfterOpening, invented } = event;
    return {
      lotId,
      consumableId,
      name,
      expiry,
      received: quantity,
      unit,
      usableDaysAfterOpening,
      openedAt: null,
      blocked: null,
      uses: [],
      remaining: quantity,
      invented,
      version: 1,
    };
  }
  if (state === undefined || state.lotId !== event.lotId) {
    throw new Error(`${event.kind} of lot ${event.lotId} without its receipt`);
  }
  const next = { ...state, version: state.version + 1 };
  switch (event.kind) {
    case 'lotOpened':
      return { ...next, openedAt: state.openedAt ?? event.at };
    case 'lotUsed': {
      const { jobId, stepId, at, personId, quantity } = event;
      // The first use opens a lot that nobody opened by hand.
      return {
        ...next,
        openedAt: state.openedAt ?? at,
        uses: [...state.uses, { jobId, stepId, at, personId, quantity }],
        remaining: tidy(state.remaining - (quantity ?? 0)),
      };
    }
    case 'lotBlocked':
      return { ...next, blocked: event.reason };
  }
}

/** Takes off the dust of binary fractions: a quantity is weighed to a milligram at best. */
function tidy(quantity: number): number {
  return Math.round(quantity * 1e6) / 1e6;
}
