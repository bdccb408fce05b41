import { describe, expect, it } from 'vitest';
import {
  decideInstrument,
  type InstrumentCommand,
  type InstrumentContext,
  instrumentCommandSchema,
} from '../../../shared/instrument/decide-instrument.ts';
import { instrumentFitness } from '../../../shared/instrument/fitness.ts';
import {
  foldInstrument,
  type Instrument,
  instrumentEventSchema,
} from '../../../shared/instrument/instrument.ts';
import { at, hash, type Name, people } from '../job/workbench.ts';
import { managementCommands } from '../people/management-commands.ts';

type Kind = InstrumentCommand['kind'];
function make<K extends Kind>(kind: K, changes: object = {}): Extract<InstrumentCommand, { kind: K }> {
  const parsed = instrumentCommandSchema.parse({ ...managementCommands[kind], ...changes });
  return parsed as Extract<InstrumentCommand, { kind: K }>;
}

const register = make('registerInstrument', { instrumentId: 'scale-1' });
const certify = make('addCertificate');
const check = make('recordInstrumentCheck');
const badCheck = make('recordInstrumentCheck', { indication: { value: 200.06, unit: 'g' } });
const concede = make('concedeInstrument');
const retire = make('retireInstrument');

interface Case {
  readonly who?: Name;
  readonly when?: string;
  readonly context?: Partial<InstrumentContext>;
}

function run(
  state: Instrument | undefined,
  command: InstrumentCommand,
  { who = 'cedar', when = at, context = {} }: Case = {},
) {
  const result = decideInstrument(command, {
    at: when,
    person: people[who],
    pinVerified: true,
    instruments: state === undefined ? [] : [state],
    profile: { quantity: 'mass', canBeSimulated: true },
    simulated: true,
    hashOf: () => hash,
    ...context,
  });
  if (!result.ok) return result.error.code;
  const events = result.value.map((event) => instrumentEventSchema.parse(JSON.parse(JSON.stringify(event))));
  expect(events).toEqual(result.value);
  const next = events.reduce<Instrument | undefined>(foldInstrument, state);
  if (next === undefined) throw new Error('no event');
  return next;
}

function instrumentAfter(...commands: (InstrumentCommand | [InstrumentCommand, Case])[]): Instrument {
  let state: Instrument | undefined;
  for (const entry of commands) {
    const next = Array.isArray(entry) ? run(state, ...entry) : run(state, entry);
    if (typeof next === 'string') throw new Error(next);
    state = next;
  }
  if (state === undefined) throw new Error('no commands');
  return state;
}

const entryWith = (changes: object) =>
  make('registerInstrument', {
    instrumentId: 'scale-1',
    entry: { ...managementCommands.registerInstrument.entry, ...changes },
  });

describe('registering an instrument', () => {
  it('takes what its plate says, and takes it again to correct it, keeping certificates and checks', () => {
    const corrected = instrumentAfter(
      register,
      certify,
      [check, { who: 'amber' }],
      entryWith({ name: 'Scale at the window' }),
    );
    expect(corrected).toMatchObject({ name: 'Scale at the window', lastCheck: { passed: true } });
    expect(corrected.certificates).toHaveLength(1);
  });

  it('refuses what does not belong together', () => {
    const { metrology } = managementCommands.registerInstrument.entry;
    expect(run(undefined, entryWith({ kind: 'wrench' }))).toBe('wrong_quantity');
    expect(run(undefined, entryWith({ unit: 'N.m' }))).toBe('wrong_unit');
    expect(run(undefined, register, { context: { profile: undefined } })).toBe('no_such_profile');
    expect(
      run(undefined, register, { context: { profile: { quantity: 'torque', canBeSimulated: true } } }),
    ).toBe('wrong_quantity');
    expect(
      run(undefined, register, { context: { profile: { quantity: 'mass', canBeSimulated: false } } }),
    ).toBe('not_simulated');
    const torque = { ...metrology, quantity: 'torque', unit: 'N.m' };
    expect(
      run(instrumentAfter(register), entryWith({ kind: 'wrench', metrology: torque }), {
        context: { profile: { quantity: 'torque', canBeSimulated: true } },
      }),
    ).toBe('other_kind');
  });

  it('keeps simulated instruments out of a real workshop', () => {
    expect(run(undefined, register, { context: { simulated: false } })).toBe('simulated_instrument');
    expect(run(undefined, entryWith({ simulated: false }), { context: { simulated: false } })).toMatchObject({
      simulated: false,
      invented: false,
    });
    expect(run(instrumentAfter(register), entryWith({ simulated: false }))).toBe('other_nature');
  });

  it('lets no instrument shed its history under a second name', () => {
    const twin = make('registerInstrument', { instrumentId: 'scale-2' });
    const first = instrumentAfter(register);
    expect(run(undefined, twin, { context: { instruments: [first] } })).toBe('serial_number_taken');
    expect(
      run(undefined, twin, { context: { instruments: [instrumentAfter(register, retire)] } }),
    ).toMatchObject({
      instrumentId: 'scale-2',
    });
  });
});

describe('a certificate', () => {
  it('goes into the register with its hash, by a lead', () => {
    expect(instrumentAfter(register, certify).certificates[0]).toMatchObject({
      hash,
      certificate: { number: 'INVENTED-M-0900' },
    });
    expect(run(instrumentAfter(register), certify, { who: 'fern' })).toBe('not_allowed');
  });

  it('is refused twice, from the future, of another quantity, or for an instrument that is not there', () => {
    expect(run(instrumentAfter(register, certify), certify)).toBe('certificate_known');
    const { certificate } = managementCommands.addCertificate;
    const later = make('addCertificate', { certificate: { ...certificate, date: '2026-11-26' } });
    expect(run(instrumentAfter(register), later)).toBe('certificate_in_future');
    const torque = make('addCertificate', { certificate: { ...certificate, unit: 'N.m' } });
    expect(run(instrumentAfter(register), torque)).toBe('wrong_unit');
    expect(run(undefined, certify)).toBe('no_such_instrument');
  });
});

describe('a check with a known mass', () => {
  const scale = instrumentAfter(register, certify);

  it('passes on the limit and fails beyond it; the station judges, not the person', () => {
    const onLimit = make('recordInstrumentCheck', { indication: { value: 200.05, unit: 'g' } });
    expect(run(scale, onLimit, { who: 'amber' })).toMatchObject({
      lastCheck: { passed: true, personId: 'amber' },
    });
    expect(run(scale, badCheck, { who: 'amber' })).toMatchObject({ lastCheck: { passed: false } });
    const inMilligrams = make('recordInstrumentCheck', { indication: { value: 200050, unit: 'mg' } });
    expect(run(scale, inMilligrams, { who: 'amber' })).toMatchObject({ lastCheck: { passed: true } });
  });

  it('takes a tighter limit, never a wider one than the instrument is allowed', () => {
    expect(run(scale, { ...check, limit: { value: 0.0099, unit: 'g' } })).toMatchObject({
      lastCheck: { passed: false },
    });
    expect(run(scale, { ...badCheck, limit: { value: 0.5, unit: 'g' } })).toBe('limit_too_wide');
    expect(run(scale, { ...check, limit: { value: 0.05, unit: 'N.m' } })).toBe('wrong_unit');
  });

  it('asks for a limit where the register has no permissible error', () => {
    const { maximumPermissibleError: _none, ...bare } = managementCommands.registerInstrument.entry.metrology;
    const open = instrumentAfter(entryWith({ metrology: bare }), certify);
    expect(run(open, check)).toBe('limit_missing');
    expect(run(open, { ...check, limit: { value: 0.05, unit: 'g' } })).toMatchObject({
      lastCheck: { passed: true },
    });
  });

  it('takes a relative permissible error at the reference', () => {
    const metrology = {
      quantity: 'torque',
      unit: 'N.m',
      ranges: [{ upTo: 60, resolution: 0.1 }],
      maximumPermissibleError: { kind: 'relative', fraction: 0.04 },
    };
    const profile = { quantity: 'torque', canBeSimulated: true } as const;
    const wrench = instrumentAfter([entryWith({ kind: 'wrench', metrology }), { context: { profile } }]);
    const pull = (value: number) =>
      make('recordInstrumentCheck', {
        reference: { name: 'Check bench', value: 27, unit: 'N.m' },
        indication: { value, unit: 'N.m' },
      });
    // 4 % of 27 N·m is 1.08 N·m.
    expect(run(wrench, pull(28.08))).toMatchObject({ lastCheck: { passed: true } });
    expect(run(wrench, pull(28.09))).toMatchObject({ lastCheck: { passed: false } });
  });

  it('refuses a weight too coarse to tell (OIML R 76-1, 3.7.1, from memory: a third of the error)', () => {
    const with200 = (weightClass: string) =>
      make('recordInstrumentCheck', {
        reference: { name: 'Check weight', value: 200, unit: 'g', weightClass },
      });
    // OIML R 111-1 Table 1 at 200 g: M1 ± 10 mg, M2 ± 30 mg; the scale is allowed 50 mg.
    expect(run(scale, with200('M1'))).toMatchObject({ lastCheck: { passed: true } });
    expect(run(scale, with200('M2'))).toBe('weight_too_coarse');
    const odd = { name: 'Check weight', value: 150, unit: 'g', weightClass: 'F2' };
    expect(run(scale, make('recordInstrumentCheck', { reference: odd }))).toBe('no_such_weight');
  });

  it('refuses a reference that checks nothing', () => {
    const against = (value: number, unit: string) =>
      make('recordInstrumentCheck', { reference: { name: 'Something', value, unit } });
    expect(run(scale, against(0, 'g'))).toBe('zero_reference');
    expect(run(scale, against(5, 'kg'))).toBe('above_capacity');
    expect(run(scale, against(27, 'N.m'))).toBe('wrong_unit');
  });
});

describe('a concession for an unfit instrument', () => {
  const failed = instrumentAfter(register, certify, [badCheck, { who: 'amber' }]);

  it('is granted by a lead with the PIN, for a while', () => {
    const conceded = run(failed, concede, { who: 'dune' });
    expect(conceded).toMatchObject({
      concession: { personId: 'dune', reason: 'The only scale left until Friday.' },
    });
    if (typeof conceded === 'string') return;
    expect(instrumentFitness(conceded, at).code).toBe('conceded');
    expect(instrumentFitness(conceded, '2026-11-27T18:00:01.000+01:00').code).toBe('check_failed');
    expect(run(failed, concede, { context: { pinVerified: false } })).toBe('pin_required');
    expect(run(failed, concede, { who: 'amber' })).toBe('not_allowed');
  });

  it('is not granted by the one who made the last check', () => {
    const ownCheck = instrumentAfter(register, certify, [badCheck, { who: 'dune' }]);
    expect(run(ownCheck, concede, { who: 'dune' })).toBe('own_concession');
    expect(run(ownCheck, concede, { who: 'cedar' })).toMatchObject({ concession: { personId: 'cedar' } });
  });

  it('ends in the future, within a month', () => {
    expect(run(failed, { ...concede, until: at }, { who: 'dune' })).toBe('until_past');
    expect(run(failed, { ...concede, until: '2026-12-27T09:00:00+01:00' }, { who: 'dune' })).toBe(
      'until_too_late',
    );
  });

  it('is not granted for nothing, nor beforehand, nor without a certificate', () => {
    expect(run(instrumentAfter(register, certify, [check, { who: 'amber' }]), concede)).toBe(
      'nothing_to_concede',
    );
    expect(run(instrumentAfter(register), concede)).toBe('not_concedable');
  });

  it('does not cover a check that fails after it was granted', () => {
    const overdue = instrumentAfter(register, certify);
    expect(instrumentFitness(overdue, at).code).toBe('check_missing');
    const conceded = instrumentAfter(register, certify, [concede, { who: 'dune' }]);
    expect(instrumentFitness(conceded, at).code).toBe('conceded');
    const later = '2026-11-25T10:00:00.000+01:00';
    const failedLater = run(conceded, badCheck, { who: 'amber', when: later });
    if (typeof failedLater === 'string') throw new Error(failedLater);
    expect(instrumentFitness(failedLater, later)).toMatchObject({ usable: false, code: 'check_failed' });
  });
});

describe('retiring an instrument', () => {
  it('is for good', () => {
    const retired = instrumentAfter(register, certify, retire);
    expect(instrumentFitness(retired, at).code).toBe('retired');
    for (const command of [register, certify, check, concede, retire]) {
      expect(run(retired, command, { who: 'dune' })).toBe('instrument_retired');
    }
  });
});
