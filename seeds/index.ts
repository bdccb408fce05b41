import { z } from 'zod';
import { type Certificate, certificateSchema } from '../shared/calibration/certificate.ts';
import { type LotEvent, lotUnitSchema } from '../shared/consumable/lot.ts';
import { addDays } from '../shared/day.ts';
import { dayOf, identifierSchema } from '../shared/identifier.ts';
import { type InstrumentEvent, registerEntrySchema } from '../shared/instrument/instrument.ts';
import { serialSchema } from '../shared/job/event.ts';
import { badgeSchema, type PersonEvent } from '../shared/people/person.ts';
import { roleSchema } from '../shared/people/role.ts';
import { unitSchema } from '../shared/quantity/unit.ts';
import { localizedTextSchema } from '../shared/sheet/localized-text.ts';
import type { SheetEvent } from '../shared/sheet/revision.ts';
import type { ServiceSheet } from '../shared/sheet/sheet.ts';
import { readSheet } from '../shared/sheet/sheet-check.ts';
import instrumentsFile from './instruments.json' with { type: 'json' };
import lotsFile from './lots.json' with { type: 'json' };
import peopleFile from './people.json' with { type: 'json' };
import copper from './sheets/copper.json' with { type: 'json' };
import moss from './sheets/moss.json' with { type: 'json' };
import slate from './sheets/slate.json' with { type: 'json' };
import slateShort from './sheets/slate-short.json' with { type: 'json' };
import toolsFile from './tools.json' with { type: 'json' };
import workshopFile from './workshop.json' with { type: 'json' };

const workshopSchema = z.strictObject({
  invented: z.literal(true),
  name: z.string().min(1),
  note: z.string().min(1),
});

const personSchema = z.strictObject({
  personId: identifierSchema,
  name: z.string().min(1),
  roles: z.array(roleSchema).min(1),
  badge: badgeSchema,
  /** So that anyone can sign in at the demo. A real workshop has no PIN in a file. */
  fictionalPin: z.string().regex(/^\d{4,12}$/),
});

/** Days count from the day of seeding, so that the demo never runs out of calibration. */
const certificateSeedSchema = z.looseObject({
  calibratedDaysAgo: z.int().nonnegative(),
  dueInDays: z.int(),
});

const quantity = z.strictObject({ value: z.number(), unit: unitSchema });
const instrumentSchema = z.strictObject({
  instrumentId: identifierSchema,
  entry: registerEntrySchema,
  certificates: z.array(certificateSeedSchema).min(1),
  /** The check of the day of seeding, which passed. */
  check: z.strictObject({
    reference: z.strictObject({ name: z.string().min(1), ...quantity.shape }),
    indication: quantity,
    limit: quantity,
  }),
});

const lotSchema = z.strictObject({
  lotId: identifierSchema,
  consumableId: identifierSchema,
  name: localizedTextSchema,
  expiresInDays: z.int(),
  quantity: z.number().positive(),
  unit: lotUnitSchema,
  usableDaysAfterOpening: z.int().min(1).nullable(),
});

const toolSchema = z.strictObject({
  serial: serialSchema,
  headId: identifierSchema,
  customerReference: z.string().optional(),
  reportedFault: z.string().optional(),
});

/** The invented workshop of the demo, as its files say it; days still count from the day of seeding. */
export interface DemoWorkshop {
  readonly workshop: z.infer<typeof workshopSchema>;
  readonly people: readonly z.infer<typeof personSchema>[];
  readonly instruments: readonly z.infer<typeof instrumentSchema>[];
  readonly lots: readonly z.infer<typeof lotSchema>[];
  /** Tools that come to the bench, for scanning. */
  readonly tools: readonly z.infer<typeof toolSchema>[];
  readonly sheets: readonly ServiceSheet[];
}

/** Loads and checks the people of the demo workshop alone. Throws when one is wrong. */
export function loadDemoPeople(): DemoWorkshop['people'] {
  return z.array(personSchema).parse(peopleFile);
}

/** Loads and checks the files of the demo workshop. Throws when one is wrong: they are ours. */
export function loadDemoWorkshop(): DemoWorkshop {
  return {
    workshop: workshopSchema.parse(workshopFile),
    people: loadDemoPeople(),
    instruments: z.array(instrumentSchema).parse(instrumentsFile),
    lots: z.array(lotSchema).parse(lotsFile),
    tools: z.array(toolSchema).parse(toolsFile),
    sheets: [slate, copper, moss, slateShort].map(sheetFrom),
  };
}

function sheetFrom(file: unknown): ServiceSheet {
  const sheet = readSheet(file);
  if (!sheet.ok) throw new Error(`a seeded sheet is wrong: ${sheet.error.field} ${sheet.error.message}`);
  return sheet.value;
}

/** Everything that sets the demo workshop up. PINs come apart, since hashing them is the station's work. */
export interface DemoEvents {
  readonly people: readonly PersonEvent[];
  readonly pins: readonly { readonly personId: string; readonly pin: string }[];
  readonly sheets: readonly SheetEvent[];
  readonly instruments: readonly InstrumentEvent[];
  readonly lots: readonly LotEvent[];
}

/** The people who set the demo up: two leads, since nobody approves their own sheet. */
const setUpBy = { administrator: 'quartz', author: 'cedar', approver: 'dune' } as const;

/**
 * The events that a fresh demo data folder begins with.
 *
 * @param at instant of seeding, ISO 8601 with offset; certificates and lots are dated from its day
 * @param hashOf SHA-256 over RFC 8785 canonical JSON, in hexadecimal
 */
export function demoEvents(
  demo: DemoWorkshop,
  at: string,
  hashOf: (certificate: Certificate) => string,
): DemoEvents {
  const by = { at, byPersonId: setUpBy.administrator };
  return {
    people: demo.people.flatMap(({ personId, name, roles, badge }): PersonEvent[] => [
      { kind: 'personAdded', personId, ...by, name, roles, invented: true },
      { kind: 'badgeSet', personId, ...by, badge },
    ]),
    pins: demo.people.map(({ personId, fictionalPin }) => ({ personId, pin: fictionalPin })),
    sheets: demo.sheets.flatMap((sheet) => sheetEvents(sheet, at)),
    instruments: demo.instruments.flatMap((seed) => instrumentEvents(seed, at, hashOf)),
    lots: demo.lots.map(({ expiresInDays, ...seed }): LotEvent => {
      const expiry = addDays(dayOf(at), expiresInDays);
      return { kind: 'lotReceived', at, personId: setUpBy.author, expiry, invented: true, ...seed };
    }),
  };
}

function sheetEvents(sheet: ServiceSheet, at: string): SheetEvent[] {
  const { sheetId, revision } = sheet;
  const envelope = { sheetId, revision, at };
  return [
    { kind: 'sheetDrafted', ...envelope, personId: setUpBy.author, sheet },
    { kind: 'sheetSubmitted', ...envelope, personId: setUpBy.author },
    { kind: 'sheetApproved', ...envelope, personId: setUpBy.approver },
  ];
}

function instrumentEvents(
  { instrumentId, entry, certificates, check }: DemoWorkshop['instruments'][number],
  at: string,
  hashOf: (certificate: Certificate) => string,
): InstrumentEvent[] {
  const envelope = { instrumentId, at, personId: setUpBy.author };
  const added = certificates.map((seed): InstrumentEvent => {
    const certificate = certificateOf(seed, dayOf(at));
    return { kind: 'certificateAdded', ...envelope, certificate, certificateHash: hashOf(certificate) };
  });
  return [
    { kind: 'instrumentRegistered', ...envelope, entry },
    ...added,
    { kind: 'checkPassed', ...envelope, ...check },
  ];
}

function certificateOf(seed: z.infer<typeof certificateSeedSchema>, today: string): Certificate {
  const { calibratedDaysAgo, dueInDays, ...certificate } = seed;
  return certificateSchema.parse({
    ...certificate,
    date: addDays(today, -calibratedDaysAgo),
    due: addDays(today, dueInDays),
  });
}
