import { describe, expect, it } from 'vitest';
import type { Certificate } from '../../../shared/calibration/certificate.ts';
import { certificateInForce, instrumentFitness } from '../../../shared/instrument/fitness.ts';
import {
  foldInstrument,
  type Instrument,
  type InstrumentEvent,
  instrumentEventSchema,
} from '../../../shared/instrument/instrument.ts';

const envelope = { instrumentId: 'scale-1', at: '2026-11-25T08:00:00Z', personId: 'cedar' };
const point = { indication: 20, reference: 20, expanded: 0.01, k: 2 };
const certificate: Certificate = {
  number: 'C-1',
  provider: 'Invented bench',
  reference: 'Invented weights',
  date: '2026-01-01',
  due: '2026-12-31',
  unit: 'g',
  asFound: [point],
  asLeft: [point],
};
const registered: InstrumentEvent = {
  kind: 'instrumentRegistered',
  ...envelope,
  entry: {
    kind: 'scale',
    name: 'Bench scale',
    profileName: 'scale-comma-header',
    unit: null,
    serialNumber: 'SC-1',
    portIdentity: {},
    simulated: true,
    invented: true,
    metrology: { quantity: 'mass', unit: 'g', ranges: [{ upTo: 3200, resolution: 0.01 }] },
    accuracyClass: 'II',
    checkEveryHours: 24,
    correctByCertificate: true,
  },
};
const certified: InstrumentEvent = {
  kind: 'certificateAdded',
  ...envelope,
  certificate,
  certificateHash: 'ab'.repeat(32),
};
const check = {
  reference: { name: 'weight', value: 20, unit: 'g' as const },
  indication: { value: 20.01, unit: 'g' as const },
  limit: { value: 0.05, unit: 'g' as const },
};
const passed: InstrumentEvent = { kind: 'checkPassed', ...envelope, ...check };
const failed: InstrumentEvent = { kind: 'checkFailed', ...envelope, ...check };
const conceded: InstrumentEvent = {
  kind: 'instrumentConceded',
  ...envelope,
  reason: 'Only scale left.',
  until: '2026-11-26T08:00:00Z',
};

function instrumentOf(...events: InstrumentEvent[]): Instrument {
  const state = [registered, ...events].reduce<Instrument | undefined>(
    (before, event) => foldInstrument(before, instrumentEventSchema.parse(JSON.parse(JSON.stringify(event)))),
    undefined,
  );
  if (state === undefined) throw new Error('no events');
  return state;
}

const noon = '2026-11-25T12:00:00Z';

describe('an instrument', () => {
  it('is fit with a certificate in date and the check of the day passed', () => {
    expect(instrumentFitness(instrumentOf(certified, passed), noon)).toMatchObject({
      usable: true,
      code: 'ok',
      concession: null,
    });
  });
  it('is good to the end of the due day and not a day longer', () => {
    const scale = instrumentOf(certified, { ...passed, at: '2026-12-31T08:00:00Z' });
    expect(instrumentFitness(scale, '2026-12-31T23:59:59Z').code).toBe('ok');
    expect(instrumentFitness(scale, '2027-01-01T00:00:00Z')).toMatchObject({
      usable: false,
      code: 'out_of_date',
    });
  });
  it('is not used without a certificate, nor before its first day', () => {
    expect(instrumentFitness(instrumentOf(passed), noon)).toMatchObject({
      usable: false,
      code: 'uncertified',
    });
    expect(instrumentFitness(instrumentOf(certified, passed), '2025-12-31T12:00:00Z').code).toBe(
      'not_yet_valid',
    );
  });
  it('is not used when its check failed, is missing or is too long ago', () => {
    expect(instrumentFitness(instrumentOf(certified, passed, failed), noon).code).toBe('check_failed');
    expect(instrumentFitness(instrumentOf(certified), noon).code).toBe('check_missing');
    expect(instrumentFitness(instrumentOf(certified, passed), '2026-11-26T08:00:00Z').code).toBe('ok');
    expect(instrumentFitness(instrumentOf(certified, passed), '2026-11-26T08:00:01Z').code).toBe(
      'check_missing',
    );
    expect(instrumentFitness(instrumentOf(certified, failed, passed), noon).code).toBe('ok');
  });
  it('is used unfit under a concession, with its reason and only until its end', () => {
    const scale = instrumentOf(certified, failed, conceded);
    expect(instrumentFitness(scale, noon)).toMatchObject({
      usable: true,
      code: 'conceded',
      concession: 'Only scale left.',
    });
    expect(instrumentFitness(scale, '2026-11-26T10:00:00+02:00').usable).toBe(true);
    expect(instrumentFitness(scale, '2026-11-26T10:00:01+02:00')).toMatchObject({
      usable: false,
      code: 'check_failed',
    });
  });
  it('is never conceded once retired, nor without a certificate', () => {
    const retired: InstrumentEvent = {
      kind: 'instrumentRetired',
      ...envelope,
      reason: 'Fell off the bench.',
    };
    expect(instrumentFitness(instrumentOf(certified, retired, conceded), noon)).toMatchObject({
      usable: false,
      code: 'retired',
    });
    expect(instrumentFitness(instrumentOf(conceded), noon)).toMatchObject({
      usable: false,
      code: 'uncertified',
    });
  });
  it('goes by the newest certificate that has begun', () => {
    const next = { ...certificate, number: 'C-2', date: '2026-12-01', due: '2027-11-30' };
    const scale = instrumentOf({ ...certified, certificate: next }, certified, passed);
    expect(certificateInForce(scale, noon)?.certificate.number).toBe('C-1');
    expect(certificateInForce(scale, '2026-12-01T00:00:00Z')?.certificate.number).toBe('C-2');
  });
  it('keeps certificates and checks when its entry is corrected', () => {
    const scale = instrumentOf(certified, passed, registered);
    expect(scale).toMatchObject({ version: 4, lastCheck: { passed: true } });
    expect(scale.certificates).toHaveLength(1);
  });
  it('has no history without its registration', () => {
    expect(() => foldInstrument(undefined, passed)).toThrow('without its registration');
  });
});
