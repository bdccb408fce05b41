import type { TimelineView } from '../../shared/contract.ts';
import type { JobCommand } from '../../shared/job/command.ts';
import type { Permission } from '../../shared/people/permission.ts';
import type { Situation } from '../state/situation.ts';
import type { CallFailure } from '../station-client.ts';
import type { Hands } from './action.ts';
import { atAudit } from './audit-tab.ts';
import { type Proof, signedInMay } from './manage.ts';

type Visit = TimelineView['visits'][number];

/** The visits of the serial that is shown, newest first: what a correction afterwards can be about. */
export function shownVisits({ screen }: Situation): readonly Visit[] {
  return [...(screen.audit.timeline?.visits ?? [])].reverse();
}

/** Is a serial looked at, on the bench's own audit screen, by a person who may do this? */
export function mayCorrect(situation: Situation, permission: Permission): boolean {
  return (
    atAudit(situation, 'serial') &&
    situation.snapshot?.readOnly !== true &&
    signedInMay(situation, permission)
  );
}

/** Gives the command and shows the serial anew, with the correction in its place. Null when it is written down. */
export async function correctRecord(
  { screen }: Situation,
  hands: Hands,
  command: JobCommand,
  proof: Proof = {},
): Promise<CallFailure | null> {
  const outcome = await hands.call('command', { command, ...proof });
  if (!outcome.ok) return outcome.error;
  const serial = screen.audit.timeline?.serial;
  const shown = serial === undefined ? null : await hands.ask('timeline', { serial });
  if (shown !== null) hands.setAudit({ timeline: shown.value });
  hands.say({ tone: 'done', key: 'desk.done' });
  return null;
}
