import { useEffect } from 'react';
import { atDeskDoor } from './actions/desk-sign-in.ts';
import { ActionBar } from './parts/action-bar.tsx';
import { ConnectionOverlay } from './parts/connection-overlay.tsx';
import { Dialogs } from './parts/dialogs.tsx';
import { Faults } from './parts/faults.tsx';
import { Head } from './parts/head.tsx';
import { MistakeScreen } from './parts/mistake-screen.tsx';
import { SentenceBar } from './parts/sentence-bar.tsx';
import { SimulatedBanner } from './parts/simulated-banner.tsx';
import { AuditScreen } from './screens/audit/audit-screen.tsx';
import { DeskSignIn } from './screens/audit/desk-sign-in.tsx';
import { BenchScreen } from './screens/bench/bench-screen.tsx';
import { HealthScreen } from './screens/health/health-screen.tsx';
import { InstrumentsScreen } from './screens/instruments/instruments-screen.tsx';
import { PeopleScreen } from './screens/people/people-screen.tsx';
import { SettingsScreen } from './screens/settings/settings-screen.tsx';
import { SheetsScreen } from './screens/sheets/sheets-screen.tsx';
import { StockScreen } from './screens/stock/stock-screen.tsx';
import { TeachScreen } from './screens/teach/teach-screen.tsx';
import type { ScreenName } from './state/screen-store.ts';
import { useSettings, useSituation, useWording } from './workbench.ts';

/** The whole page: banner, head, one screen, the sentence of the moment and the actions. */
export function Application() {
  const situation = useSituation();
  const settings = useSettings();
  const { say } = useWording();
  const { screen } = situation.screen;
  useEffect(() => {
    const root = document.documentElement;
    root.lang = settings.language;
    root.dataset.theme = settings.theme;
    root.style.setProperty('--mm', `${settings.pixelsPerMillimetre}px`);
    document.title = `${say(`screen.${screen}`)} – Bandwright`;
  }, [settings, screen, say]);
  return (
    <MistakeScreen title={say('mistake.title')} next={say('mistake.next')}>
      <div className="page" data-screen={screen} data-phase={situation.phase}>
        <SimulatedBanner />
        <Head />
        <main className="page-main" id="main">
          <Faults />
          {atDeskDoor(situation) ? <DeskSignIn /> : <Screen name={screen} />}
        </main>
        <footer className="page-foot">
          <SentenceBar />
          <ActionBar />
        </footer>
        <Dialogs />
        <ConnectionOverlay />
      </div>
    </MistakeScreen>
  );
}

function Screen({ name }: { readonly name: ScreenName }) {
  switch (name) {
    case 'bench':
      return <BenchScreen />;
    case 'audit':
      return <AuditScreen />;
    case 'instruments':
      return <InstrumentsScreen />;
    case 'teach':
      return <TeachScreen />;
    case 'stock':
      return <StockScreen />;
    case 'sheets':
      return <SheetsScreen />;
    case 'people':
      return <PeopleScreen />;
    case 'health':
      return <HealthScreen />;
    case 'settings':
      return <SettingsScreen />;
  }
}
