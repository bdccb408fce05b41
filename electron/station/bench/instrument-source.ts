import type { RememberedPeaks } from '../../../drivers/decode/repeats.ts';
import { createLiveInstrument, type LiveInstrument } from '../../../drivers/live-instrument.ts';
import type { BytePort } from '../../../drivers/port/byte-port.ts';
import type { Clock } from '../../../drivers/port/clock.ts';
import { createHidPort } from '../../../drivers/port/hid-port.ts';
import { createLocator, type PortIdentity, type PortLister } from '../../../drivers/port/port-list.ts';
import { createSerialPort } from '../../../drivers/port/serial-port.ts';
import type { SerialSettings } from '../../../drivers/port/serial-settings.ts';
import type { InstrumentProfile } from '../../../drivers/profile.ts';
import type { Fault } from '../../../drivers/simulated/fault-script.ts';
import { type SimulatedScaleProfile, scaleShapes } from '../../../drivers/simulated/scale-shapes.ts';
import type { SimulationOptions } from '../../../drivers/simulated/simulated-instrument.ts';
import { type SimulatedScale, startSimulatedScale } from '../../../drivers/simulated/simulated-scale.ts';
import { type SimulatedWrench, startSimulatedWrench } from '../../../drivers/simulated/simulated-wrench.ts';
import { type SimulatedWrenchProfile, wrenchShapes } from '../../../drivers/simulated/wrench-shapes.ts';
import type { Instrument } from '../../../shared/instrument/instrument.ts';
import { type TorqueUnit, torqueUnitSchema } from '../../../shared/quantity/unit.ts';
import { type PracticeDevice, practicePortId } from './practice-device.ts';

/** Common practice, no source: what most bench instruments leave the factory with. */
const usualSettings: SerialSettings = { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 };

/** A simulated instrument that the bench can move, as a hand would. */
export type Simulator =
  | { readonly kind: 'scale'; readonly scale: SimulatedScale }
  | { readonly kind: 'wrench'; readonly wrench: SimulatedWrench };

/** A live instrument with the simulator behind it, if it is one. */
export interface InstrumentSource {
  readonly live: LiveInstrument;
  readonly simulator: Simulator | null;
  /** True where the simulator ends with the instrument. */
  readonly ownsSimulator: boolean;
}

export interface ConnectionParts {
  readonly clock: Clock;
  /** Seed of a simulated one. */
  readonly seed: number;
  /** What goes wrong with a simulated one. */
  readonly faults: readonly Fault[];
  /** Peaks that it gave before, so that an old one is known again. */
  readonly remembered: RememberedPeaks | undefined;
  /** The practice device of a demo workshop. */
  readonly practice: PracticeDevice | null;
  /** Where a real one is looked for that is known by what it says of itself. */
  readonly listPorts: PortLister;
}

/**
 * Connects an instrument of the register: a simulated one to its simulator on a pseudo-terminal, a real one to its
 * serial or HID port.
 */
export function connectInstrument(
  instrument: Instrument,
  profile: InstrumentProfile,
  { clock, seed, faults, remembered, practice, listPorts }: ConnectionParts,
): InstrumentSource {
  if (practice !== null && instrument.portIdentity.path === practicePortId) {
    const port = practice.createPort(profile.serial ?? usualSettings);
    const live = createLiveInstrument({ port, profile, clock, remembered });
    return { live, simulator: { kind: 'scale', scale: practice.scale }, ownsSimulator: false };
  }
  if (!instrument.simulated) {
    const port = realPort(instrument, profile, clock, listPorts);
    return {
      live: createLiveInstrument({ port, profile, clock, remembered }),
      simulator: null,
      ownsSimulator: false,
    };
  }
  const simulator = startSimulator(instrument, { clock, seed, faults });
  const body = simulator.kind === 'scale' ? simulator.scale : simulator.wrench;
  const port = body.createPort(profile.serial ?? usualSettings);
  return {
    live: createLiveInstrument({ port, profile, clock, remembered }),
    simulator,
    ownsSimulator: true,
  };
}

/** The port of a real instrument: found by what the device says of itself where that is known, else by its path. */
function realPort(
  instrument: Instrument,
  profile: InstrumentProfile,
  clock: Clock,
  listPorts: PortLister,
): BytePort {
  const { path = '', pnpId, ...known } = instrument.portIdentity;
  const identity: PortIdentity = {
    transport: profile.hid === undefined ? 'serial' : 'hid',
    path,
    ...withoutUndefined(known),
    ...(pnpId === undefined ? {} : { byId: pnpId }),
  };
  const isKnown = known.vendorId !== undefined || pnpId !== undefined;
  const locate = isKnown ? { locate: createLocator(identity, listPorts) } : {};
  return profile.hid === undefined
    ? createSerialPort({ path, settings: profile.serial ?? usualSettings, clock, ...locate })
    : createHidPort({ path, clock, ...locate });
}

function withoutUndefined({
  vendorId,
  productId,
  serialNumber,
}: Omit<Instrument['portIdentity'], 'path' | 'pnpId'>) {
  return {
    ...(vendorId === undefined ? {} : { vendorId }),
    ...(productId === undefined ? {} : { productId }),
    ...(serialNumber === undefined ? {} : { serialNumber }),
  };
}

/** True where one of our simulators speaks the profile. */
export function canBeSimulated(profileName: string): boolean {
  return Object.hasOwn(scaleShapes, profileName) || Object.hasOwn(wrenchShapes, profileName);
}

/** Ends what `connectInstrument` began. */
export async function disconnectInstrument({
  live,
  simulator,
  ownsSimulator,
}: InstrumentSource): Promise<void> {
  await live.stop();
  if (!ownsSimulator) return;
  if (simulator?.kind === 'scale') simulator.scale.stop();
  else simulator?.wrench.stop();
}

function startSimulator(
  instrument: Instrument,
  options: Required<Pick<SimulationOptions, 'clock' | 'seed' | 'faults'>>,
): Simulator {
  const { profileName } = instrument;
  if (instrument.kind === 'scale') {
    if (!Object.hasOwn(scaleShapes, profileName))
      throw new RangeError(`no simulated scale speaks ${profileName}`);
    return {
      kind: 'scale',
      scale: startSimulatedScale({ profileName: profileName as SimulatedScaleProfile, ...options }),
    };
  }
  if (!Object.hasOwn(wrenchShapes, profileName))
    throw new RangeError(`no simulated wrench speaks ${profileName}`);
  const unit: TorqueUnit = torqueUnitSchema.parse(instrument.metrology.unit);
  return {
    kind: 'wrench',
    wrench: startSimulatedWrench({ profileName: profileName as SimulatedWrenchProfile, ...options, unit }),
  };
}
