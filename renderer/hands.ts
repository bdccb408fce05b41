import type { CallName, CallParameters } from '../shared/contract.ts';
import type { ChosenPicture, Hands } from './actions/action.ts';
import { fetchDesk } from './state/desk-loading.ts';
import type { LiveReadings } from './state/live-readings.ts';
import { emptyDraft, type ScreenStore } from './state/screen-store.ts';
import { situationOf } from './state/situation.ts';
import type { StationStore } from './state/station-store.ts';
import type { StationClient } from './station-client.ts';
import type { Language } from './wording/wording.ts';

export interface HandsParts {
  readonly client: Pick<StationClient, 'call'>;
  readonly stationStore: StationStore;
  readonly screenStore: ScreenStore;
  readonly live: LiveReadings;
  openDocument(url: string): void;
  saveFile(name: string, text: string): void;
  readFile(types: string): Promise<string | null>;
  readPicture(): Promise<ChosenPicture | null>;
  download(url: string): void;
  language(): Language;
}

/** What actions reach the world by: calls to the station, and the state of this page. */
export function createHands({
  client,
  stationStore,
  screenStore,
  live,
  openDocument,
  saveFile,
  readFile,
  readPicture,
  download,
  language,
}: HandsParts): Hands {
  const set: Hands['set'] = (change) => screenStore.setState(change);

  async function ask<Name extends CallName>(name: Name, parameters: CallParameters<Name>) {
    set({ busy: true, notice: null });
    const outcome = await client.call(name, parameters);
    set({ busy: false });
    if (outcome.ok) return { value: outcome.value };
    set({ notice: { tone: 'refused', failure: outcome.error } });
    return null;
  }

  return {
    call: (name, parameters) => client.call(name, parameters),
    ask,
    async command(command, by = {}) {
      set({ outcome: null });
      return (await ask('command', { command, ...by })) !== null;
    },
    set,
    setDraft(change) {
      const { draft } = situationOf(stationStore.getState(), screenStore.getState());
      set({ draft: { ...draft, ...change }, notice: null });
    },
    clearDraft: () => set({ draft: emptyDraft }),
    open: (dialog) => set({ dialog, notice: null }),
    say: (notice) => set({ notice }),
    reading: (instrumentId) => live.latest(instrumentId)?.reading ?? null,
    openDocument,
    download,
    language,
    setAudit: (change) => set({ audit: { ...screenStore.getState().audit, ...change } }),
    async loadDesk() {
      const { screen } = screenStore.getState();
      const roles = stationStore.getState().snapshot?.signedIn?.roles;
      if (roles === undefined) return;
      if (screen === 'health') set({ desk: { ...screenStore.getState().desk, health: 'looking' } });
      const fetched = await fetchDesk(screen, roles, client.call);
      set({ desk: { ...screenStore.getState().desk, ...fetched } });
    },
    setDesk: (change) => set({ desk: { ...screenStore.getState().desk, ...change } }),
    saveFile,
    readFile,
    readPicture,
  };
}
