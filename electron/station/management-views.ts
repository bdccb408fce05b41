import { calibrationState } from '../../shared/calibration/certificate.ts';
import { judgeDailyCheck } from '../../shared/calibration/daily-check.ts';
import type { Lot } from '../../shared/consumable/lot.ts';
import { lotExpiryOn, lotRefusal } from '../../shared/consumable/lot-refusal.ts';
import { dayOf } from '../../shared/identifier.ts';
import { certificateInForce, instrumentFitness } from '../../shared/instrument/fitness.ts';
import {
  type Instrument,
  type InstrumentCheck,
  type InstrumentEvent,
  registerEntrySchema,
} from '../../shared/instrument/instrument.ts';
import type {
  InstrumentCheckView,
  LotView,
  NamedPerson,
  PersonAccountView,
  RegisteredInstrumentView,
  SheetRevisionsView,
} from '../../shared/management-view.ts';
import type { Person } from '../../shared/people/person.ts';
import { differencesBetween } from '../../shared/sheet/difference.ts';
import type { LocalizedText } from '../../shared/sheet/localized-text.ts';
import { revisionInForce, type SheetState } from '../../shared/sheet/revision.ts';

/** Finds the name of a person by the id. */
export type NameOf = (personId: string) => string;

function named(personId: string, nameOf: NameOf): NamedPerson {
  return { personId, name: nameOf(personId) };
}

/** An instrument with its certificates, checks and concessions, from its events. */
export function registeredInstrumentView(
  instrument: Instrument,
  events: readonly InstrumentEvent[],
  steadiness: LocalizedText | null,
  at: string,
  nameOf: NameOf,
): RegisteredInstrumentView {
  const { usable, code, message } = instrumentFitness(instrument, at);
  const inForce = certificateInForce(instrument, at)?.hash;
  const entries = events.filter((event) => event.kind === 'instrumentRegistered');
  return {
    instrumentId: instrument.instrumentId,
    entry: entries.at(-1)?.entry ?? registerEntrySchema.parse(instrument),
    fitness: { usable, code, message },
    steadiness,
    retired: instrument.retired,
    certificates: events.flatMap((event) =>
      event.kind === 'certificateAdded'
        ? [
            {
              certificate: event.certificate,
              hash: event.certificateHash,
              at: event.at,
              by: named(event.personId, nameOf),
              state: calibrationState(event.certificate, at),
              inForce: event.certificateHash === inForce,
            },
          ]
        : [],
    ),
    checks: events.flatMap((event) =>
      event.kind === 'checkPassed' || event.kind === 'checkFailed' ? checkView(event, nameOf) : [],
    ),
    concessions: events.flatMap((event) =>
      event.kind === 'instrumentConceded'
        ? [{ at: event.at, by: named(event.personId, nameOf), reason: event.reason, until: event.until }]
        : [],
    ),
  };
}

function checkView(check: InstrumentCheck, nameOf: NameOf): InstrumentCheckView[] {
  const { reference, indication, limit, at, personId, kind } = check;
  const judged = judgeDailyCheck({ reference, indication, limit });
  if (!judged.ok) return [];
  const { difference, used } = judged.value;
  const passed = kind === 'checkPassed';
  return [{ at, by: named(personId, nameOf), passed, reference, indication, limit, difference, used }];
}

/** A lot, and whether it may be used on that day. */
export function lotView(lot: Lot, day: string): LotView {
  const { version: _version, uses: _uses, ...shown } = lot;
  return { ...shown, usableUntil: lotExpiryOn(lot, day), refusal: lotRefusal(lot, day, null) };
}

/** Every revision of a sheet with what it changed. */
export function sheetRevisionsView(state: SheetState, at: string, nameOf: NameOf): SheetRevisionsView {
  return {
    sheetId: state.sheetId,
    inForce: revisionInForce(state, dayOf(at))?.revision ?? null,
    revisions: state.revisions.map((revision, index) => {
      const before = state.revisions[index - 1];
      const { sheet, authors, approvedBy } = revision;
      return {
        revision: revision.revision,
        status: revision.status,
        authors: authors.map((personId) => named(personId, nameOf)),
        approvedBy: approvedBy === null ? null : named(approvedBy, nameOf),
        approvedAt: revision.approvedAt,
        effectiveFrom: sheet.effectiveFrom,
        reason: revision.reason,
        sheet,
        differences: before === undefined ? null : differencesBetween(before.sheet, sheet),
      };
    }),
  };
}

/** An account without its PIN. */
export function personAccountView(person: Person, pinLocked: boolean): PersonAccountView {
  const { personId, name, roles, badge, active, invented, pin } = person;
  return { personId, name, roles, badge, active, invented, hasPin: pin !== null, pinLocked };
}
