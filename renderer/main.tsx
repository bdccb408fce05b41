import { createRoot } from 'react-dom/client';
import { allActions } from './actions/all.ts';
import { Application } from './application.tsx';
import { createHands } from './hands.ts';
import { createKeyListener } from './key-handling.ts';
import { createTonePlayer, soundOf } from './sound/tones.ts';
import { LiveReadings } from './state/live-readings.ts';
import { attemptInHand, newOutcome } from './state/outcome.ts';
import { createScreenStore, type ScreenName, screenNames } from './state/screen-store.ts';
import { createSettingsStore } from './state/settings-store.ts';
import { situationOf } from './state/situation.ts';
import { createStationStore, withoutUnfinished } from './state/station-store.ts';
import { connectToStation } from './station-client.ts';
import './styles/all.css';
import { createWording } from './wording/wording.ts';
import { type Workbench, WorkbenchContext } from './workbench.ts';

/** Composition root of the page: everything real is made here. */
const stationStore = createStationStore();
const screenStore = createScreenStore(screenOfAddress());
const settingsStore = createSettingsStore(localStorage, navigator.language);
const live = new LiveReadings(
  (callback) => requestAnimationFrame(callback),
  () => performance.now(),
);
const play = createTonePlayer(() => settingsStore.getState());

const client = connectToStation({
  url: `${location.protocol === 'https:' ? 'wss' : 'ws'}://${location.host}/station`,
  openSocket: (url) => new WebSocket(url),
  onConnection(connection) {
    if (connection === 'lost') {
      live.forgetAll();
      stationStore.setState(withoutUnfinished(stationStore.getState()));
    }
    stationStore.setState({ connection });
  },
  onNews(news) {
    switch (news.news) {
      case 'live':
        live.receive(news.live);
        return;
      case 'export':
        stationStore.setState({ exported: news.progress });
        return;
      case 'impact':
        stationStore.setState({ impact: news.progress });
        return;
      case 'verify':
        stationStore.setState({ verify: news.progress });
        return;
      case 'snapshot': {
        const before = stationStore.getState().snapshot;
        const outcome = newOutcome(before, news.snapshot);
        if (before?.jobInHand?.state.jobId !== news.snapshot.jobInHand?.state.jobId)
          screenStore.setState({ outcome: null });
        if (attemptInHand(before) !== attemptInHand(news.snapshot)) {
          live.forgetJudged();
          // What was refused at another moment is no longer what is wrong.
          if (screenStore.getState().notice?.tone === 'refused') screenStore.setState({ notice: null });
        }
        stationStore.setState({ snapshot: news.snapshot });
        if (outcome === null) return;
        screenStore.setState({ outcome });
        play(soundOf(outcome));
        return;
      }
      case 'beat':
        return;
    }
  },
});

const hands = createHands({
  client,
  stationStore,
  screenStore,
  live,
  openDocument: (url) => window.open(url, '_blank', 'noopener'),
  language: () => settingsStore.getState().language,
  download(url) {
    const link = document.createElement('a');
    link.href = url;
    link.download = '';
    link.click();
  },
  saveFile(name, text) {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(new Blob([text], { type: 'application/json' }));
    link.download = name;
    link.click();
    URL.revokeObjectURL(link.href);
  },
  readFile: async (types) => (await chooseFile(types))?.text().catch(() => null) ?? null,
  async readPicture() {
    const file = await chooseFile('image/png,image/jpeg,image/svg+xml');
    const bytes = await file?.arrayBuffer().catch(() => null);
    return file === null || bytes == null ? null : { mediaType: file.type, bytes: new Uint8Array(bytes) };
  },
});

const workbench: Workbench = {
  stationStore,
  screenStore,
  settingsStore,
  live,
  hands,
  playTone: play,
  actions: allActions(() => {
    const { language, decimalSign } = settingsStore.getState();
    return createWording(language, decimalSign).decimalSign;
  }),
  perform(action) {
    const situation = situationOf(stationStore.getState(), screenStore.getState());
    if (action.offered(situation) && action.enabled(situation)) void action.run(situation, hands);
  },
};

function chooseFile(types: string): Promise<File | null> {
  return new Promise((resolve) => {
    const input = document.createElement('input');
    input.type = 'file';
    input.accept = types;
    input.addEventListener('change', () => resolve(input.files?.[0] ?? null));
    input.addEventListener('cancel', () => resolve(null));
    input.click();
  });
}

function screenOfAddress(): ScreenName {
  const name = location.hash.replace(/^#\/?/, '');
  return screenNames.find((screen) => screen === name) ?? 'bench';
}

screenStore.subscribe((state, before) => {
  if (state.notice !== before.notice && state.notice?.tone === 'refused') play('refused');
  if (state.screen !== before.screen) history.replaceState(null, '', `#/${state.screen}`);
});
window.addEventListener('hashchange', () => screenStore.setState({ screen: screenOfAddress() }));
window.addEventListener('keydown', createKeyListener(workbench), { capture: true });

const root = document.getElementById('application');
if (root === null) throw new Error('index.html has no #application');
createRoot(root).render(
  <WorkbenchContext value={workbench}>
    <Application />
  </WorkbenchContext>,
);
