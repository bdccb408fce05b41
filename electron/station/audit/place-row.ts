import type { VisitPlaceView } from '../../../shared/audit/view.ts';

/** What stands before the columns of a single station: where the reading was taken. */
export const placeColumns = ['bench', 'station', 'branch', 'left_behind'] as const;

/** Where a reading was taken, as the beginning of a line of a table. */
export function placeRow({ benchId, stationId, branch, leftBehind }: VisitPlaceView) {
  return { bench: benchId, station: stationId, branch, left_behind: String(leftBehind) };
}
