import { chosenStation } from '../state/audit-state.ts';
import type { Situation } from '../state/situation.ts';

/** Who is asked: at the desk of a bench the bench itself, at that of a site a station; null where none was chosen. */
export function askedStation({
  snapshot,
  screen,
}: Pick<Situation, 'snapshot' | 'screen'>): { readonly stationId?: string } | null {
  if (snapshot?.site === undefined) return {};
  const stationId = chosenStation(screen.audit);
  return stationId === null ? null : { stationId };
}
