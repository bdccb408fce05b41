import type { VisitPlaceView } from '../../../shared/audit/view.ts';
import type { Wording } from '../../wording/wording.ts';

/** Where a visit was, among the benches of a site. A station that never forked has no branch to name. */
export function placeText({ benchId, branch, leftBehind }: VisitPlaceView, { say }: Wording): string {
  if (leftBehind) return say('audit.place.leftBehind', { bench: benchId, branch });
  return branch === 1 ? benchId : say('audit.place.branch', { bench: benchId, branch });
}
