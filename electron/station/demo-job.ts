import { setTimeout as sleep } from 'node:timers/promises';
import { loadDemoPeople } from '../../seeds/index.ts';
import type { JobCommand } from '../../shared/job/command.ts';
import type { JobState } from '../../shared/job/state.ts';
import { convertNumber } from '../../shared/quantity/conversion.ts';
import { ok, type Result, refuse } from '../../shared/result.ts';
import { findStep, type ServiceSheet } from '../../shared/sheet/sheet.ts';
import type { MassStep, Step, TorqueStep } from '../../shared/sheet/step.ts';
import type { Station } from './station.ts';

/** Longest time for one weighing or pull of the demo. */
const patienceMilliseconds = 30_000;
const lookEveryMilliseconds = 100;

/** Does whole jobs at the demo bench without a screen: the same commands, real pseudo-terminals, simulated hands. */
export class DemoTechnician {
  readonly #station: Station;
  readonly #say: (line: string) => void;
  readonly #written: (state: JobState) => void;

  /** @param written told of every command that is written down, right after it */
  constructor(
    station: Station,
    say: (line: string) => void,
    written: (state: JobState) => void = () => undefined,
  ) {
    this.#station = station;
    this.#say = say;
    this.#written = written;
  }

  /**
   * One whole job of a serial of the demo workshop, from intake to release.
   *
   * @returns the id of the released job
   * @throws Error when a step is refused: the demo is ours, so that is a bug
   */
  async doJob(serial: string, headId: string): Promise<string> {
    const open = this.#station.jobs.openJobOfSerial(serial);
    if (open !== undefined) {
      await this.#command(
        { kind: 'abandonJob', jobId: open.jobId, reason: 'Left over from an earlier demo run' },
        open.holderPersonId,
      );
    }
    const state = await this.#command({ kind: 'openJob', serial, headId });
    const { title, steps } = this.#station.jobs.sheetOf(state);
    this.#say(`${serial}: ${title.en}, ${steps.length} steps`);
    return this.finishJob(state);
  }

  /** Goes on with an open job from the step at which it stands, to its release. */
  async finishJob(open: JobState): Promise<string> {
    let state = open;
    const sheet = this.#station.jobs.sheetOf(state);
    while (state.currentStepId !== null) {
      const step = findStep(sheet, state.currentStepId);
      if (step === undefined) throw new Error(`the sheet has no step ${state.currentStepId}`);
      state = await this.#doStep(state, sheet, step);
      this.#say(`  ${step.title.en}: ${state.steps.find(({ stepId }) => stepId === step.stepId)?.status}`);
    }
    await this.#command({ kind: 'releaseJob', jobId: state.jobId });
    return state.jobId;
  }

  async #doStep(state: JobState, sheet: ServiceSheet, step: Step): Promise<JobState> {
    const to = { jobId: state.jobId, stepId: step.stepId };
    switch (step.kind) {
      case 'caution':
        return this.#command({ kind: 'acknowledgeCaution', ...to });
      case 'instruction':
        return this.#command({ kind: 'confirmInstruction', ...to });
      case 'check':
        return this.#command({ kind: 'answerCheck', ...to, answer: 'yes' });
      case 'disposition': {
        const choice = step.choices[0] ?? 'reuse';
        const reason = step.reasonRequiredFor.includes(choice) ? { reason: 'Demo: no wear seen' } : {};
        return this.#command({ kind: 'disposePart', ...to, choice, ...reason });
      }
      case 'consumable': {
        const lot = this.#station.lots.all().find(({ consumableId }) => consumableId === step.consumableId);
        return this.#command({
          kind: 'useConsumable',
          ...to,
          ...(lot === undefined ? {} : { lotId: lot.lotId }),
        });
      }
      case 'numeric': {
        const { lower, upper, decimals = 0 } = step;
        const middle =
          lower !== undefined && upper !== undefined ? (lower + upper) / 2 : (lower ?? upper ?? 0);
        return this.#command({ kind: 'recordNumeric', ...to, text: middle.toFixed(decimals) });
      }
      case 'note':
        return this.#command({ kind: 'writeNote', ...to, text: 'Demo run, nothing to add' });
      case 'signOff':
        return this.#command(
          { kind: 'signOffStep', ...to },
          step.roles.includes('technician') ? undefined : 'cedar',
        );
      case 'mass':
        return this.#fill(state, sheet, step);
      case 'torque':
        return this.#tighten(state, sheet, step);
    }
  }

  async #fill(state: JobState, sheet: ServiceSheet, step: MassStep): Promise<JobState> {
    const to = { jobId: state.jobId, stepId: step.stepId };
    const scale = this.#simulator('scale');
    if (scale.kind !== 'scale') throw new Error('the assigned scale is no scale');
    scale.scale.act({ kind: 'dish off' });
    scale.scale.act({ kind: 'dish on' });
    if (step.tare === 'instrument') scale.scale.act({ kind: 'tare' });
    let current = state;
    if (step.tare === 'station') {
      const { dishGrams } = scale.scale.state();
      await this.#waitFor(() => {
        const tare = this.#station.bench.tare(state, sheet, step.stepId);
        if (!tare.ok) return tare;
        // The scale may still stand at what was on it before.
        const { value, unit } = tare.value.value.indication;
        const shows = Math.abs(convertNumber(value, unit, 'g') - dishGrams) < 0.1;
        return shows ? tare : waiting('the scale does not show the dish');
      });
      current = await this.#command({ kind: 'takeTare', ...to });
    }
    const target = convertNumber(step.band.target ?? step.band.lower ?? 0, step.band.unit, 'g');
    scale.scale.act({ kind: 'dispense to', massGrams: target + (step.residueLossGrams ?? 0) });
    await this.#waitFor(() => {
      const capture = this.#station.bench.capture(current, sheet, step.stepId);
      const isOutside = capture.ok && capture.value.value.judgement.decision !== 'pass';
      return isOutside ? waiting('the fill is outside the acceptance zone') : capture;
    });
    return this.#command({ kind: 'captureMass', ...to });
  }

  async #tighten(state: JobState, sheet: ServiceSheet, step: TorqueStep): Promise<JobState> {
    const to = { jobId: state.jobId, stepId: step.stepId };
    const { wrench } = this.#station.bench.assigned;
    const { target, unit } = step.band;
    // A wrench tells of a pull once; what nobody hears is gone.
    await this.#waitFor(() => {
      const port = this.#station.bench.running(wrench ?? '')?.live.port.state;
      return port?.kind === 'open' ? ok(null) : waiting('the wrench is not connected');
    });
    // The attempt begins when the step is looked at; pulls from before it do not count.
    this.#station.bench.measurementView(state, sheet);
    this.#station.bench.simulate(
      wrench ?? '',
      'pull',
      target === undefined ? undefined : { value: target, unit },
    );
    await this.#waitFor(() => this.#station.bench.capture(state, sheet, step.stepId));
    return this.#command({ kind: 'captureTorque', ...to });
  }

  #simulator(kind: 'scale' | 'wrench') {
    const instrumentId = this.#station.bench.assigned[kind];
    const simulator =
      instrumentId === null ? undefined : this.#station.bench.running(instrumentId)?.simulator;
    if (!simulator) throw new Error(`the demo bench has no simulated ${kind}`);
    return simulator;
  }

  async #waitFor(look: () => Result<unknown>): Promise<void> {
    const until = performance.now() + patienceMilliseconds;
    let last = look();
    while (!last.ok) {
      if (performance.now() > until) throw new Error(`the demo waited too long: ${last.error.message}`);
      await sleep(lookEveryMilliseconds);
      last = look();
    }
  }

  async #command(command: JobCommand, personId = 'amber'): Promise<JobState> {
    const person = this.#station.people.find({ personId });
    if (person === undefined) throw new Error(`the demo workshop has no ${personId}`);
    const pinVerified = signedCommands.has(command.kind) && (await this.#enterPin(personId));
    const actor = { personId, roles: person.roles };
    const state = this.#station.jobs.command(command, { person: actor, pinVerified });
    if (!state.ok)
      throw new Error(`${command.kind} was refused: ${state.error.field} ${state.error.message}`);
    this.#station.changed();
    this.#written(state.value);
    return state.value;
  }

  async #enterPin(personId: string): Promise<boolean> {
    const person = this.#station.people.find({ personId });
    const pin = loadDemoPeople().find((candidate) => candidate.personId === personId)?.fictionalPin;
    if (person === undefined || pin === undefined) return false;
    return (await this.#station.people.checkPin(person, pin)).ok;
  }
}

/** Commands that take the PIN. */
const signedCommands: ReadonlySet<JobCommand['kind']> = new Set(['signOffStep', 'releaseJob']);

function waiting(message: string): Result<never> {
  return refuse('waiting', '', message);
}
