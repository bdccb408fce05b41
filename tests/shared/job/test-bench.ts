import type { JobCommand } from '../../../shared/job/command.ts';
import type { JobContext } from '../../../shared/job/context.ts';
import { decide } from '../../../shared/job/decide.ts';
import { type JobEvent, jobEventSchema } from '../../../shared/job/event.ts';
import { foldAll } from '../../../shared/job/fold.ts';
import type { JobState, StepState } from '../../../shared/job/state.ts';
import { findStep, type ServiceSheet } from '../../../shared/sheet/sheet.ts';
import { makeCapture, makeContext } from './workbench.ts';

/** A bench at which commands are given one after the other. */
export class Bench {
  readonly events: JobEvent[] = [];
  readonly sheet: ServiceSheet;
  constructor(sheet: ServiceSheet) {
    this.sheet = sheet;
    this.do({ kind: 'openJob', serial: 'SN-1', headId: sheet.head.headId });
  }
  get state(): JobState {
    const state = foldAll(this.events);
    if (state === undefined) throw new Error('no job');
    return state;
  }
  step(stepId: string): StepState {
    const found = this.state.steps.find((step) => step.stepId === stepId);
    if (found === undefined) throw new Error(`no step ${stepId}`);
    return found;
  }
  try(command: JobCommand, changes: Partial<JobContext> = {}): string {
    const result = decide(foldAll(this.events), command, makeContext(this.sheet, changes));
    if (!result.ok) return result.error.code;
    this.events.push(...result.value.map((event) => jobEventSchema.parse(JSON.parse(JSON.stringify(event)))));
    return 'taken';
  }
  do(command: JobCommand, changes: Partial<JobContext> = {}): this {
    const answer = this.try(command, changes);
    if (answer !== 'taken') throw new Error(`${command.kind}: ${answer}`);
    return this;
  }
  /** Captures that value at a mass or torque step. */
  capture(stepId: string, value: number, changes: Partial<JobContext> = {}): string {
    const step = findStep(this.sheet, stepId);
    if (step?.kind !== 'mass' && step?.kind !== 'torque') throw new Error(`${stepId} is not measured`);
    const progress = this.step(stepId);
    const capture = makeCapture(step, value, progress.attempts.length + 1, progress.tare);
    const kind = step.kind === 'mass' ? 'captureMass' : 'captureTorque';
    return this.try({ kind, jobId: 'job-1', stepId }, { capture, ...changes });
  }
}
