import type { InstrumentEvent } from '../../shared/instrument/instrument.ts';

// The wrench of the register that invented jobs measured their torque with.
const envelope = { instrumentId: 'wrench-1', at: '2026-01-10T08:00:00Z', personId: 'cedar' };

/** A calibration point in N·m with U = 0.1 N·m. */
export function calibrationPoint(reference: number, error: number) {
  return { reference, error, expanded: 0.1, k: 2 };
}

/** A certificate of the wrench that found no error, made on a day and due a year later. */
export function goodCertificate(date: string) {
  return {
    number: 'GOOD-1',
    provider: 'Invented bench',
    reference: 'Invented transducer',
    date,
    due: `${Number(date.slice(0, 4)) + 1}${date.slice(4)}`,
    unit: 'N.m',
    asLeft: [calibrationPoint(5, 0), calibrationPoint(60, 0)],
  };
}

/** Hash by which tests name `foundCertificate`. */
export const foundHash = 'cd'.repeat(32);

/** A certificate that found the wrench 2 % too high everywhere: about 0.54 N·m at the ring. */
export function foundCertificate(date: string) {
  const asFound = [calibrationPoint(5, 0.1), calibrationPoint(60, 1.2)];
  return { ...goodCertificate('2026-01-05'), number: 'FOUND-2', date, asFound };
}

/** The wrench comes into the register. */
export function wrenchRegistered(
  maximumPermissibleError?: Extract<
    InstrumentEvent,
    { kind: 'instrumentRegistered' }
  >['entry']['metrology']['maximumPermissibleError'],
) {
  return {
    kind: 'instrumentRegistered',
    ...envelope,
    entry: {
      kind: 'wrench',
      name: 'Invented wrench',
      profileName: 'invented-wrench',
      unit: null,
      serialNumber: 'WR-1',
      portIdentity: {},
      simulated: true,
      invented: true,
      metrology: {
        quantity: 'torque',
        unit: 'N.m',
        ranges: [{ upTo: 60, resolution: 0.01 }],
        ...(maximumPermissibleError === undefined ? {} : { maximumPermissibleError }),
      },
      accuracyClass: null,
      checkEveryHours: null,
      correctByCertificate: false,
    },
  } satisfies InstrumentEvent;
}

/** A certificate of the wrench comes into the register. */
export function wrenchCertified(certificate: object, certificateHash = 'ab'.repeat(32)) {
  return { kind: 'certificateAdded', ...envelope, certificate, certificateHash };
}
