import { z } from 'zod';
import type { Decision } from '../acceptance/judgement.ts';
import type { AsFoundFinding } from '../calibration/as-found-finding.ts';
import { daySchema, hashSchema, identifierSchema } from '../identifier.ts';
import type { Unit } from '../quantity/unit.ts';
import type { Refusal } from '../result.ts';
import type { LocalizedText } from '../sheet/localized-text.ts';
import type { ExportProgress, VisitPlaceView } from './view.ts';

/** Judge the captures of an instrument again with the errors that one of its calibrations found. */
export const impactWishSchema = z.strictObject({
  instrumentId: identifierSchema,
  certificateHash: hashSchema,
  /** Begin there instead of at the calibration before. */
  since: daySchema.optional(),
  /** At the desk of a site: whose register has the calibration. */
  stationId: z.string().min(1).max(120).optional(),
  /** For the file: decimal sign and separator as spreadsheets of that language expect. */
  language: z.enum(['en', 'de']),
});
export type ImpactWish = z.infer<typeof impactWishSchema>;

/** An instrument with the calibrations of its register, the newest first. */
export interface CalibratedInstrumentView {
  readonly instrumentId: string;
  readonly name: string;
  readonly calibrations: readonly {
    readonly hash: string;
    readonly number: string;
    readonly date: string;
    /** Null for a certificate without as-found points. */
    readonly finding: AsFoundFinding | null;
  }[];
}

export const impactOutcomes = ['changed', 'unknown', 'unchanged'] as const;
export type ImpactOutcome = (typeof impactOutcomes)[number];

/** One capture judged again, as a screen shows it. */
export interface ImpactCaptureView {
  readonly captureId: string;
  /** At the desk of a site. */
  readonly place?: VisitPlaceView;
  readonly serial: string;
  readonly at: string;
  readonly stepId: string;
  /** As the sheet of the job names it; null where that cannot be read. */
  readonly stepTitle: LocalizedText | null;
  /** State of the job today; `open` while it is at the bench. */
  readonly phase: string;
  readonly outcome: ImpactOutcome;
  readonly unit: Unit;
  readonly recorded: { readonly value: number; readonly decision: Decision };
  /** Null where it cannot be said. */
  readonly again: {
    readonly value: number;
    readonly shift: number;
    readonly decision: Decision;
  } | null;
  /** Why it cannot be said; a screen words it by its code. */
  readonly reason: Refusal | null;
}

/** What an as-found error means for the captures made before it was found. */
export interface ImpactReportView {
  readonly instrumentId: string;
  readonly name: string;
  readonly certificateNumber: string;
  readonly finding: AsFoundFinding | null;
  readonly lastGoodCalibration: { readonly number: string; readonly date: string } | null;
  /** Days, both included; null is open. */
  readonly since: string | null;
  readonly until: string | null;
  /** Captures judged again, and how many of them changed or cannot be said. */
  readonly judged: number;
  readonly changed: number;
  readonly unknown: number;
  /** Altered or removed and so not judged. */
  readonly omitted: number;
  /** How many captures went from one decision to which; `null` where it cannot be said. */
  readonly counts: readonly {
    readonly recorded: Decision;
    readonly again: Decision | null;
    readonly count: number;
  }[];
  /** Serials whose decision changes or cannot be said, in the order of their captures; cut off after some hundred. */
  readonly serials: readonly string[];
  readonly serialCount: number;
  /** The captures that change or cannot be said; cut off after some hundred. All of them are in the file. */
  readonly captures: readonly ImpactCaptureView[];
  /** At the desk of a site: how it is spread over the stations that used the instrument. */
  readonly stations?: readonly ImpactStationView[];
}

/** What an as-found error means for one station of a site. */
export interface ImpactStationView {
  readonly benchId: string;
  readonly stationId: string;
  readonly judged: number;
  readonly changed: number;
  readonly unknown: number;
}

/** How far judging again is; with the report when it is ready. */
export interface ImpactProgress extends ExportProgress {
  readonly report: ImpactReportView | null;
}
