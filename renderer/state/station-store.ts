import { createStore } from 'zustand/vanilla';
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
}

export function createStationStore() {
  return createStore<StationState>(() => ({
    connection: 'connecting',
    snapshot: null,
    verify: null,
    exported: null,
  }));
}
export type StationStore = ReturnType<typeof createStationStore>;
