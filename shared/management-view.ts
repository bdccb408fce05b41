import type { CalibrationState, Certificate } from './calibration/certificate.ts';
import type { CheckJudgement } from './calibration/daily-check.ts';
import type { Lot, LotUse } from './consumable/lot.ts';
import type { InstrumentCheck, RegisterEntry } from './instrument/instrument.ts';
import type { Role } from './people/role.ts';
import type { Refusal } from './result.ts';
import type { SheetDifference } from './sheet/difference.ts';
import type { LocalizedText } from './sheet/localized-text.ts';
import type { RevisionStatus } from './sheet/revision.ts';
import type { ServiceSheet } from './sheet/sheet.ts';

/** What the screens of leads and administrators show. Names of people stand beside their ids. */

export interface NamedPerson {
  readonly personId: string;
  readonly name: string;
}

/** An instrument with its whole history. Lists are in the order in which things happened. */
export interface RegisteredInstrumentView {
  readonly instrumentId: string;
  readonly entry: RegisterEntry;
  readonly fitness: { readonly usable: boolean; readonly code: string; readonly message: string };
  /** By what rule of ours its values are stable; null for one that says so itself, and for a wrench. */
  readonly steadiness: LocalizedText | null;
  /** Why it was retired; null while it is in use. */
  readonly retired: string | null;
  readonly certificates: readonly {
    readonly certificate: Certificate;
    readonly hash: string;
    readonly at: string;
    readonly by: NamedPerson;
    readonly state: CalibrationState;
    /** True for the one that counts today. */
    readonly inForce: boolean;
  }[];
  readonly checks: readonly InstrumentCheckView[];
  readonly concessions: readonly {
    readonly at: string;
    readonly by: NamedPerson;
    readonly reason: string;
    readonly until: string;
  }[];
}

/** One check with a known mass or torque, as its chart draws it. */
export interface InstrumentCheckView
  extends Pick<InstrumentCheck, 'reference' | 'indication' | 'limit'>,
    Pick<CheckJudgement, 'difference' | 'used'> {
  readonly at: string;
  readonly by: NamedPerson;
  readonly passed: boolean;
}

/** A lot as it stands today. */
export interface LotView extends Omit<Lot, 'uses' | 'version'> {
  /** The last day on which it may be used, as things stand. */
  readonly usableUntil: string | null;
  /** Why it may not be used today; null when it may. */
  readonly refusal: Refusal | null;
}

/** One use of a lot. */
export interface LotUseView extends Omit<LotUse, 'personId'> {
  readonly serial: string | null;
  /** As the sheet of the job names it; null where that cannot be read. */
  readonly stepTitle: LocalizedText | null;
  readonly by: NamedPerson;
}

/** Every revision of a sheet, oldest first. */
export interface SheetRevisionsView {
  readonly sheetId: string;
  /** The revision that new jobs pin today. */
  readonly inForce: number | null;
  readonly revisions: readonly {
    readonly revision: number;
    readonly status: RevisionStatus;
    readonly authors: readonly NamedPerson[];
    readonly approvedBy: NamedPerson | null;
    readonly approvedAt: string | null;
    readonly effectiveFrom: string;
    /** Why it was returned or withdrawn last. */
    readonly reason: string | null;
    readonly sheet: ServiceSheet;
    /** Against the revision before; null for the first. */
    readonly differences: readonly SheetDifference[] | null;
  }[];
}

/** An account as its administrator sees it; those who have left as well. */
export interface PersonAccountView extends NamedPerson {
  readonly roles: readonly Role[];
  readonly badge: string | null;
  readonly active: boolean;
  readonly invented: boolean;
  readonly hasPin: boolean;
  /** True after too many wrong PINs: a new PIN opens the account again. */
  readonly pinLocked: boolean;
}
