import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { demoEvents, loadDemoWorkshop } from '../../seeds/index.ts';
import { foldLot } from '../../shared/consumable/fold.ts';
import { type LotEvent, lotEventSchema } from '../../shared/consumable/lot.ts';
import { lotRefusal } from '../../shared/consumable/lot-refusal.ts';
import { addDays, addMonths } from '../../shared/day.ts';
import { canonicalJson } from '../../shared/evidence/canonical-json.ts';
import { dayOf } from '../../shared/identifier.ts';
import { certificateInForce, instrumentFitness } from '../../shared/instrument/fitness.ts';
import {
  foldInstrument,
  type Instrument,
  type InstrumentEvent,
  instrumentEventSchema,
} from '../../shared/instrument/instrument.ts';
import { measure } from '../../shared/measurement/measure.ts';
import { foldPerson } from '../../shared/people/fold.ts';
import { type Person, type PersonEvent, personEventSchema } from '../../shared/people/person.ts';
import { checkNewPin } from '../../shared/people/pin-policy.ts';
import { convertNumber } from '../../shared/quantity/conversion.ts';
import type { Unit } from '../../shared/quantity/unit.ts';
import {
  foldSheet,
  revisionInForce,
  type SheetState,
  sheetEventSchema,
} from '../../shared/sheet/revision.ts';
import type { MeasuredStep } from '../../shared/sheet/step.ts';

const at = '2026-11-25T09:00:00.000+01:00';
const hashOf = (value: unknown) => createHash('sha256').update(canonicalJson(value)).digest('hex');
const demo = loadDemoWorkshop();
const events = demoEvents(demo, at, hashOf);

function foldBy<State, Event>(
  list: readonly Event[],
  key: (event: Event) => string,
  fold: (state: State | undefined, event: Event) => State,
): Map<string, State> {
  const states = new Map<string, State>();
  for (const event of list) states.set(key(event), fold(states.get(key(event)), event));
  return states;
}

const people = foldBy<Person, PersonEvent>(events.people, (event) => event.personId, foldPerson);
const instruments = foldBy<Instrument, InstrumentEvent>(
  events.instruments,
  (event) => event.instrumentId,
  foldInstrument,
);

describe('the invented workshop', () => {
  it('says everywhere that it is invented', () => {
    expect(demo.workshop.name).toContain('invented');
    expect(demo.sheets.every((sheet) => sheet.invented)).toBe(true);
    expect([...people.values()].every((person) => person.invented)).toBe(true);
    expect([...instruments.values()].every((one) => one.invented && one.simulated)).toBe(true);
  });

  it('begins with events that the store will read back', () => {
    const back = (value: unknown) => JSON.parse(JSON.stringify(value));
    for (const event of events.people) expect(personEventSchema.parse(back(event))).toEqual(event);
    for (const event of events.sheets) expect(sheetEventSchema.parse(back(event))).toEqual(event);
    for (const event of events.instruments) expect(instrumentEventSchema.parse(back(event))).toEqual(event);
    for (const event of events.lots) expect(lotEventSchema.parse(back(event))).toEqual(event);
  });

  it('has a person for every role, two leads, and PINs that the policy takes', () => {
    const roles = [...people.values()].flatMap((person) => person.roles);
    expect(roles.filter((role) => role === 'technician')).toHaveLength(2);
    expect(roles.filter((role) => role === 'lead')).toHaveLength(2);
    expect(roles).toContain('auditor');
    expect(roles).toContain('administrator');
    for (const { pin } of events.pins) expect(checkNewPin(pin)).toMatchObject({ ok: true });
    expect(new Set(events.pins.map(({ pin }) => pin)).size).toBe(people.size);
    expect(new Set([...people.values()].map((person) => person.badge)).size).toBe(people.size);
  });

  it('has a sheet in force for every tool, approved by another person than its author', () => {
    const sheets = foldBy<SheetState, (typeof events.sheets)[number]>(
      events.sheets,
      (event) => event.sheetId,
      foldSheet,
    );
    const inForce = [...sheets.values()].map((state) => revisionInForce(state, dayOf(at)));
    for (const revision of inForce) {
      expect(revision).not.toBeNull();
      expect(revision?.authors).not.toContain(revision?.approvedBy);
    }
    const heads = inForce.map((revision) => revision?.sheet.head.headId);
    for (const tool of demo.tools) expect(heads).toContain(tool.headId);
    expect(new Set(heads).size).toBe(4);
  });

  it('keeps every instrument fit for a year after seeding, whenever that is', () => {
    for (const instrument of instruments.values()) {
      for (const day of [dayOf(at), addDays(dayOf(at), 1), addMonths(dayOf(at), 12)]) {
        expect(instrumentFitness(instrument, `${day}T12:00:00Z`)).toMatchObject({ code: 'ok' });
      }
    }
    const later = demoEvents(demo, '2031-01-01T09:00:00.000Z', hashOf);
    const certificates = later.instruments.filter((event) => event.kind === 'certificateAdded');
    for (const { certificate } of certificates) expect(certificate.due > '2032-01-01').toBe(true);
  });

  it('has a good lot of every consumable that a sheet asks for, and one expired lot to be refused', () => {
    const lots = foldBy<ReturnType<typeof foldLot>, LotEvent>(events.lots, (event) => event.lotId, foldLot);
    const good = [...lots.values()].filter((lot) => lotRefusal(lot, dayOf(at), null) === null);
    for (const sheet of demo.sheets) {
      for (const step of sheet.steps) {
        if (step.kind !== 'consumable') continue;
        expect(good.map((lot) => lot.consumableId)).toContain(step.consumableId);
      }
    }
    const refused = [...lots.values()].flatMap((lot) => lotRefusal(lot, dayOf(at), null)?.code ?? []);
    expect(refused).toEqual(['lot_expired']);
  });
});

describe('the procedures', () => {
  const full = demo.sheets.filter((sheet) => sheet.steps.length > 4);

  it('are whole: from intake and make safe over cleaning and inspection to sign-off', () => {
    expect(full).toHaveLength(3);
    for (const { steps } of full) {
      expect(steps.map((step) => step.kind)).toEqual(
        expect.arrayContaining([
          'check',
          'caution',
          'instruction',
          'disposition',
          'consumable',
          'mass',
          'torque',
        ]),
      );
      expect(steps[0]?.stepId).toBe('intake');
      expect(steps.at(-1)?.kind).toBe('signOff');
      const place = (stepId: string) => steps.findIndex((step) => step.stepId === stepId);
      expect(place('make-safe')).toBeLessThan(place('heat'));
      expect(place('heat')).toBeLessThan(place('strip'));
      expect(place('fill')).toBeLessThan(place('pocket'));
      expect(place('seal')).toBeLessThan(place('tighten'));
    }
  });

  it('warn of heat, fumes and flammable residue before the ring is warmed', () => {
    for (const { steps } of full) {
      const heat = steps.find((step) => step.stepId === 'heat');
      expect(heat?.kind).toBe('caution');
      expect(heat?.cautions.map((caution) => caution.hazard)).toEqual(['heat', 'fumes', 'flammable residue']);
    }
  });

  it("give way to the tool maker's instructions, local codes and licensed practice, in both languages", () => {
    for (const { deferral } of demo.sheets) {
      expect(deferral.en).toMatch(/maker's instructions.*local codes.*licensed practice/);
      expect(deferral.de).toMatch(/Anleitung des Herstellers.*Vorschriften.*zugelassener/);
    }
  });
});

/** What an instrument shows for a true value, when it errs as its certificate says at that point: not at all. */
function shown(value: number, unit: Unit, instrument: Instrument) {
  const own = instrument.metrology.unit;
  return { text: convertNumber(value, unit, own).toFixed(own === 'g' ? 2 : 1), unit: own };
}

describe('every seeded instrument on every seeded band', () => {
  const dish = { text: '41.87', unit: 'g' as const };
  for (const sheet of demo.sheets) {
    for (const step of sheet.steps) {
      if (step.kind !== 'mass' && step.kind !== 'torque') continue;
      for (const instrument of instruments.values()) {
        if (instrument.metrology.quantity !== step.kind) continue;
        it(`${instrument.instrumentId} shows a pass at the target of ${sheet.sheetId} ${step.stepId}, a fail well outside`, () => {
          checkBand(step, instrument);
        });
      }
    }
  }

  function checkBand(step: MeasuredStep, instrument: Instrument): void {
    const { band } = step;
    const certificate = certificateInForce(instrument, at)?.certificate ?? null;
    const tareGrams = step.kind === 'mass' ? Number(dish.text) : 0;
    const judged = (value: number) => {
      const result = measure(
        step,
        {
          metrology: instrument.metrology,
          certificate,
          correctByCertificate: instrument.correctByCertificate,
        },
        shown(value + tareGrams, band.unit, instrument),
        step.kind === 'mass' ? dish : null,
        at,
      );
      if (!result.ok) throw new Error(result.error.message);
      return result.value.judgement;
    };
    const { target = 0, lower = 0, upper = 0 } = band;
    const atTarget = judged(target);
    expect(atTarget.decision).toBe('pass');
    expect(atTarget.conformance).toBeGreaterThan(0.999);
    const acceptance = atTarget.acceptance ?? { lower: 0, upper: 0 };
    const width = (acceptance.upper ?? 0) - (acceptance.lower ?? 0);
    // Room enough that a careful hand passes, and not the whole tolerance: the uncertainty shows.
    expect(width / (upper - lower)).toBeGreaterThan(0.6);
    expect(width / (upper - lower)).toBeLessThan(0.99);
    expect(judged(upper + (upper - lower) / 2).decision).toBe('fail');
    expect(judged(lower - (upper - lower) / 2).decision).toBe('fail');
  }
});
