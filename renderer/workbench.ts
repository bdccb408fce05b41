import { createContext, useContext, useMemo, useSyncExternalStore } from 'react';
import { useStore } from 'zustand';
import { useShallow } from 'zustand/react/shallow';
import type { LiveReading } from '../shared/contract.ts';
import type { Action, Hands, Place } from './actions/action.ts';
import { offeredActions } from './actions/all.ts';
import type { Sound } from './sound/tones.ts';
import type { LiveReadings } from './state/live-readings.ts';
import type { ScreenStore } from './state/screen-store.ts';
import type { Settings, SettingsStore } from './state/settings-store.ts';
import { type Situation, situationOf } from './state/situation.ts';
import type { StationStore } from './state/station-store.ts';
import { createWording, type Wording } from './wording/wording.ts';

/** Everything the screens stand on; made once in `main.tsx`. */
export interface Workbench {
  readonly stationStore: StationStore;
  readonly screenStore: ScreenStore;
  readonly settingsStore: SettingsStore;
  readonly live: LiveReadings;
  readonly actions: readonly Action[];
  readonly hands: Hands;
  /** Runs an action once, unless it cannot be done now. */
  perform(action: Action): void;
  playTone(sound: Sound): void;
}

export const WorkbenchContext = createContext<Workbench | null>(null);

export function useWorkbench(): Workbench {
  const workbench = useContext(WorkbenchContext);
  if (workbench === null) throw new Error('WorkbenchContext is missing above this component');
  return workbench;
}

export function useSettings(): Settings {
  return useStore(useWorkbench().settingsStore);
}

/** The texts in the language and with the decimal sign of this screen. */
export function useWording(): Wording {
  const { language, decimalSign } = useStore(
    useWorkbench().settingsStore,
    useShallow(({ language, decimalSign }: Settings) => ({ language, decimalSign })),
  );
  return useMemo(() => createWording(language, decimalSign), [language, decimalSign]);
}

export function useSituation(): Situation {
  const { stationStore, screenStore } = useWorkbench();
  const station = useStore(stationStore);
  const screen = useStore(screenStore);
  return useMemo(() => situationOf(station, screen), [station, screen]);
}

/** The actions that belong to this moment at that place. */
export function useActions(place: Place): readonly Action[] {
  const { actions } = useWorkbench();
  return offeredActions(actions, useSituation(), place);
}

/**
 * Something drawn from the newest reading of an instrument. The part is drawn again only when it changes, so
 * `select` must give a plain value (text, number, boolean, null).
 */
export function useLive<Value extends string | number | boolean | null>(
  instrumentId: string | null,
  select: (reading: LiveReading | null) => Value,
): Value {
  const { live } = useWorkbench();
  return useSyncExternalStore(
    (listener) => (instrumentId === null ? () => {} : live.subscribe(instrumentId, listener)),
    () => select(live.latest(instrumentId)?.reading ?? null),
  );
}
