import type { Decision } from '../acceptance/judgement.ts';
import type { PartChoice } from '../sheet/step.ts';
import type { Capture, Tare } from './capture.ts';
import type { PlannedStep, StepStatus } from './planned-step.ts';

export type JobPhase = 'open' | 'held' | 'released' | 'abandoned' | 'voided';

/** One try at a step; every one stays, whatever came of it. */
export interface StepAttempt {
  /** Place of its event in the job. */
  readonly event: number;
  readonly at: string;
  readonly personId: string;
  readonly outcome: 'pass' | 'fail';
  /** What was entered, in one short text: the answer, the choice, the lot, the typed number. */
  readonly entry?: string;
  readonly choice?: PartChoice;
  readonly lotId?: string | null;
  readonly capture?: Capture;
}

export interface StepConcession {
  readonly event: number;
  readonly at: string;
  readonly personId: string;
  readonly reason: string;
  readonly limit: string;
}

export interface StepState extends PlannedStep {
  readonly status: StepStatus;
  readonly attempts: readonly StepAttempt[];
  /** Attempts that count against maximumAttempts: those since a lead last reopened the step. */
  readonly attemptsUsed: number;
  /** Of the newest capture, also after a concession. */
  readonly lastDecision: Decision | null;
  readonly tare: Tare | null;
  readonly concession: StepConcession | null;
  readonly reopenings: number;
}

export interface JobAmendment {
  readonly event: number;
  readonly at: string;
  readonly personId: string;
  readonly of: number;
  readonly reason: string;
  readonly text: string;
}

/** A job as its events make it. */
export interface JobState {
  readonly jobId: string;
  readonly serial: string;
  readonly headId: string;
  readonly sheetId: string;
  readonly sheetRevision: number;
  readonly sheetHash: string;
  readonly customerReference: string | null;
  readonly reportedFault: string | null;
  readonly simulated: boolean;
  readonly workshop: string;
  readonly phase: JobPhase;
  readonly holderPersonId: string;
  readonly openedAt: string;
  readonly openedBy: string;
  /** When it was released, abandoned or voided. */
  readonly closedAt: string | null;
  /** In the order of the sheet. */
  readonly steps: readonly StepState[];
  /** First mandatory step that can be done now (ready or failed), else the first optional one; null where none is, or the job is at its end. */
  readonly currentStepId: string | null;
  readonly holdReason: string | null;
  readonly nextServiceDue: string | null;
  readonly amendments: readonly JobAmendment[];
  /** Number of events. */
  readonly version: number;
}
