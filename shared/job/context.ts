import type { Lot } from '../consumable/lot.ts';
import type { InstrumentFitness } from '../instrument/fitness.ts';
import type { Actor } from '../people/role.ts';
import type { PinnedSheet } from '../sheet/sheet.ts';
import type { Capture, Tare } from './capture.ts';

/** What the station knows when a command arrives. `decide` sees nothing else. */
export interface JobContext {
  /** Now, ISO 8601 with offset. */
  readonly at: string;
  /** Who commands. */
  readonly person: Actor;
  /** True when this person has just re-entered the PIN for this command. */
  readonly pinVerified: boolean;
  /** Ids that chance made, for what the command may create. */
  readonly ids: { readonly jobId: string };
  /** openJob: the sheet in force. Otherwise the one that the job pins. Missing: refused. */
  readonly sheet?: PinnedSheet | undefined;
  /** openJob: name of the bench's workshop, and whether its instruments are simulated. */
  readonly workshop: string;
  readonly simulated: boolean;
  /** openJob: an open or held job of the same serial and head, if there is one. */
  readonly openJobOfSerial?: string | undefined;
  /** captureMass, captureTorque: the finished, judged measurement. */
  readonly capture?: Capture | undefined;
  /** takeTare: the weighing. */
  readonly tare?: Tare | undefined;
  /** takeTare, captureMass, captureTorque: of the instrument that gave it. */
  readonly instrumentFitness?: InstrumentFitness | undefined;
  /** useConsumable: the lot that was named, if the stock knows it. */
  readonly lot?: Lot | undefined;
  /** handOverJob: the person named. voidJob: the one who agrees; `pinVerified` when that PIN was entered. */
  readonly secondPerson?: (Actor & { readonly pinVerified: boolean }) | undefined;
}
