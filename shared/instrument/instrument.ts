import { z } from 'zod';
import { type Certificate, certificateSchema } from '../calibration/certificate.ts';
import { weightClassSchema } from '../calibration/check-weight.ts';
import { type InstrumentMetrology, instrumentMetrologySchema } from '../calibration/metrology.ts';
import { hashSchema, identifierSchema, instantSchema, spokenTextSchema } from '../identifier.ts';
import { unitSchema } from '../quantity/unit.ts';

const envelope = { instrumentId: identifierSchema, at: instantSchema, personId: identifierSchema };

/** How a port is found again: its path, or what the device says of itself. Empty for simulated instruments. */
export const portIdentitySchema = z.strictObject({
  path: z.string().min(1).max(300).optional(),
  vendorId: z.string().max(20).optional(),
  productId: z.string().max(20).optional(),
  serialNumber: z.string().max(200).optional(),
  /** Name below /dev/serial/by-id, or the platform's own. */
  pnpId: z.string().max(300).optional(),
});
export type PortIdentity = z.infer<typeof portIdentitySchema>;

export const instrumentKindSchema = z.enum(['scale', 'wrench']);
export type InstrumentKind = z.infer<typeof instrumentKindSchema>;

/** An instrument of the bench as the register knows it, besides certificates and checks. */
export const registerEntrySchema = z.strictObject({
  kind: instrumentKindSchema,
  /** Named by shape and place, never by brand. */
  name: z.string().trim().min(1).max(100),
  profileName: identifierSchema,
  /** The unit its display is set to; null where its lines say it. */
  unit: unitSchema.nullable(),
  serialNumber: z.string().trim().min(1).max(100),
  portIdentity: portIdentitySchema,
  simulated: z.boolean(),
  /** True for the demo workshop. */
  invented: z.boolean(),
  metrology: instrumentMetrologySchema,
  /** OIML R 76-1 class of a scale (I, II, III, IIII) or class of a wrench, as marked; null when unmarked. */
  accuracyClass: z.string().min(1).max(40).nullable(),
  /** How often the daily check is due; null for an instrument that has none. */
  checkEveryHours: z.int().min(1).max(8784).nullable(),
  /** True: the certificate's error is taken off the indication. False: its permissible error counts. */
  correctByCertificate: z.boolean(),
});
export type RegisterEntry = z.infer<typeof registerEntrySchema>;

function event<Kind extends string, Shape extends z.core.$ZodLooseShape>(kind: Kind, shape: Shape) {
  return z.strictObject({ kind: z.literal(kind), ...envelope, ...shape });
}

/** What was put on or pulled against: the check weight or the check bench. */
export const checkReferenceSchema = z.strictObject({
  name: z.string().trim().min(1).max(100),
  value: z.number(),
  unit: unitSchema,
  /** OIML R 111-1 class of a check weight, as marked on its case. */
  weightClass: weightClassSchema.exactOptional(),
});
export type CheckReference = z.infer<typeof checkReferenceSchema>;

const checkShape = {
  reference: checkReferenceSchema,
  indication: z.strictObject({ value: z.number(), unit: unitSchema }),
  /** Largest difference that is allowed. */
  limit: z.strictObject({ value: z.number().positive(), unit: unitSchema }),
};

/** Everything that can have happened to an instrument. */
export const instrumentEventSchema = z.discriminatedUnion('kind', [
  event('instrumentRegistered', { entry: registerEntrySchema }),
  event('certificateAdded', { certificate: certificateSchema, certificateHash: hashSchema }),
  event('checkPassed', checkShape),
  event('checkFailed', checkShape),
  /** A lead lets it be used although it is unfit, until that instant. */
  event('instrumentConceded', { reason: spokenTextSchema, until: instantSchema }),
  event('instrumentRetired', { reason: spokenTextSchema }),
]);
export type InstrumentEvent = z.infer<typeof instrumentEventSchema>;
export type InstrumentCheck = Extract<InstrumentEvent, { kind: 'checkPassed' | 'checkFailed' }>;

/** An instrument as its events make it. */
export interface Instrument extends RegisterEntry {
  readonly instrumentId: string;
  readonly metrology: InstrumentMetrology;
  readonly certificates: readonly { readonly certificate: Certificate; readonly hash: string }[];
  readonly lastCheck: { readonly at: string; readonly personId: string; readonly passed: boolean } | null;
  readonly concession: {
    readonly at: string;
    readonly personId: string;
    readonly reason: string;
    readonly until: string;
  } | null;
  readonly retired: string | null;
  readonly version: number;
}

/** The state after one more event. Throws where the events cannot be those of one instrument. */
export function foldInstrument(state: Instrument | undefined, event: InstrumentEvent): Instrument {
  if (event.kind === 'instrumentRegistered') {
    if (state !== undefined && state.instrumentId !== event.instrumentId) {
      throw new Error(`event of instrument ${event.instrumentId} in ${state.instrumentId}`);
    }
    // Registering again corrects the entry; certificates and checks stay.
    const kept = state ?? { certificates: [], lastCheck: null, concession: null, retired: null, version: 0 };
    return { ...kept, ...event.entry, instrumentId: event.instrumentId, version: kept.version + 1 };
  }
  if (state === undefined || state.instrumentId !== event.instrumentId) {
    throw new Error(`${event.kind} of instrument ${event.instrumentId} without its registration`);
  }
  const next = { ...state, version: state.version + 1 };
  switch (event.kind) {
    case 'certificateAdded': {
      const added = { certificate: event.certificate, hash: event.certificateHash };
      return { ...next, certificates: [...state.certificates, added] };
    }
    case 'checkPassed':
    case 'checkFailed': {
      const { at, personId } = event;
      return { ...next, lastCheck: { at, personId, passed: event.kind === 'checkPassed' } };
    }
    case 'instrumentConceded': {
      const { at, personId, reason, until } = event;
      return { ...next, concession: { at, personId, reason, until } };
    }
    case 'instrumentRetired':
      return { ...next, retired: event.reason };
  }
}
