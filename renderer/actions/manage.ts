import { type ManagementCommandInput, managementCommandSchema } from '../../shared/management-command.ts';
import { mayDo, type Permission } from '../../shared/people/permission.ts';
import { parseWith } from '../../shared/schema-refusal.ts';
import type { ScreenName } from '../state/screen-store.ts';
import type { Situation } from '../state/situation.ts';
import type { CallFailure } from '../station-client.ts';
import type { MessageKey } from '../wording/english.ts';
import type { Parameters } from '../wording/wording.ts';
import type { Hands } from './action.ts';

/** Who proves it: a PIN of whoever is signed in, or another person who steps up with theirs. */
export interface Proof {
  readonly pin?: string;
  readonly personId?: string;
}

/**
 * Gives a management command and fetches anew what the screen shows. Null when it is done and said, else why not: the
 * shape is checked here already, so that a field is named in the language of the screen.
 */
export async function manage(
  hands: Hands,
  command: ManagementCommandInput,
  done: { readonly key: MessageKey; readonly parameters?: Parameters } | null,
  proof: Proof = {},
): Promise<CallFailure | null> {
  const shaped = parseWith(managementCommandSchema, command);
  if (!shaped.ok) return { kind: 'refusal', refusal: shaped.error };
  const outcome = await hands.call('manage', { command, ...proof });
  if (!outcome.ok) return ofManagement(outcome.error);
  await hands.loadDesk();
  if (done !== null) hands.say({ tone: 'done', ...done });
  return null;
}

/** At the bench `wrong_unit` speaks of a display; here of what was typed. */
function ofManagement(failure: CallFailure): CallFailure {
  return failure.kind === 'refusal' && failure.refusal.code === 'wrong_unit'
    ? { kind: 'refusal', refusal: { ...failure.refusal, code: 'other_unit' } }
    : failure;
}

/** As `manage`, for what is done without a question: a failure is said on the screen. */
export async function manageAtOnce(
  hands: Hands,
  command: ManagementCommandInput,
  done: { readonly key: MessageKey; readonly parameters?: Parameters },
): Promise<boolean> {
  hands.set({ busy: true, notice: null });
  const failure = await manage(hands, command, done);
  hands.set({ busy: false });
  if (failure !== null) hands.say({ tone: 'refused', failure });
  return failure === null;
}

/** Is this that screen, with somebody signed in? */
export function atDesk({ screen, snapshot }: Situation, name: ScreenName): boolean {
  return screen.screen === name && snapshot?.signedIn != null;
}

/** May the person signed in do this by their roles? */
export function signedInMay({ snapshot }: Situation, permission: Permission): boolean {
  return mayDo(snapshot?.signedIn?.roles ?? [], permission);
}
