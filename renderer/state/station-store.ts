import { createStore } from 'zustand/vanilla';
import type { ImpactProgress } from '../../shared/audit/impact-view.ts';
import type { ExportProgress } from '../../shared/audit/view.ts';
import type { Snapshot, VerifyProgress } from '../../shared/contract.ts';
import type { Connection } from '../station-client.ts';

/** What the station last said, besides live readings. */
export interface StationState {
  readonly connection: Connection;
  readonly snapshot: Snapshot | null;
  readonly verify: VerifyProgress | null;
  /** How far the newest export is. */
  readonly exported: ExportProgress | null;
  /** How far judging captures again is, or what came of it. */
  readonly impact: ImpactProgress | null;
}

export function createStationStore() {
  return createStore<StationState>(() => ({
    connection: 'connecting',
    snapshot: null,
    verify: null,
    exported: null,
    impact: null,
  }));
}

/** What is under way at a station that can no longer be heard is not known: it may be asked for again. */
export function withoutUnfinished({
  verify,
  exported,
  impact,
}: StationState): Pick<StationState, 'verify' | 'exported' | 'impact'> {
  const isUnderWay = verify !== null && !verify.finished && !verify.stopped;
  return {
    verify: isUnderWay ? null : verify,
    exported: exported?.state === 'running' ? null : exported,
    impact: impact?.state === 'running' ? null : impact,
  };
}

export type StationStore = ReturnType<typeof createStationStore>;
