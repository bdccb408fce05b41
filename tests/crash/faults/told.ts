import type { StoreFaultCode } from '../../../electron/station/store/store-fault.ts';
import type { JobCommandKind } from '../../../shared/job/command.ts';
import type { Jump } from './jumpy-clock.ts';

/** A command that returned: what a screen would show green. */
export interface Acknowledged {
  readonly command: JobCommandKind;
  readonly jobId: string;
  /** Events of the job after it. */
  readonly version: number;
  /** Of the last of them; null where only the version was said. */
  readonly hash: string | null;
}

/** What the working station tells its parent. */
export type Told =
  | { readonly kind: 'ready'; readonly milliseconds: number }
  | ({ readonly kind: 'acknowledged' } & Acknowledged)
  | {
      readonly kind: 'fault';
      readonly code: StoreFaultCode;
      readonly message: string;
      readonly writeNumber: number;
      /** From the end of the fault until the repeated command had returned. */
      readonly milliseconds: number;
    }
  | { readonly kind: 'copied'; readonly copy: string; readonly lastSequence: number }
  | ({ readonly kind: 'jump' } & Jump);
