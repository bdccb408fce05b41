import { useEffect } from 'react';
import { focusEntry } from '../../key-handling.ts';
import { ActionButton } from '../../parts/action-button.tsx';
import { useActions, useSituation, useWording } from '../../workbench.ts';
import { AuditTabs, tabId } from './audit-tabs.tsx';
import { ChartsTab } from './charts-tab.tsx';
import { ExportTab } from './export-tab.tsx';
import { ImpactTab } from './impact-tab.tsx';
import { LotsTab } from './lots-tab.tsx';
import { SearchTab } from './search-tab.tsx';
import { SerialTab } from './serial-tab.tsx';
import { StationsTab } from './stations-tab.tsx';

/** The auditor's desk: a serial with all its readings, searches and charts across records, exports, the proof. */
export function AuditScreen() {
  const { screen, snapshot } = useSituation();
  const { say } = useWording();
  const actions = useActions('desk');
  const { tab } = screen.audit;
  const isOpen = snapshot?.signedIn != null;
  // biome-ignore lint/correctness/useExhaustiveDependencies: another tab has another field to begin with
  useEffect(focusEntry, [tab, isOpen]);
  if (!isOpen) {
    return (
      <div className="desk">
        <h1 className="visually-hidden">{say('screen.audit')}</h1>
        <p>{say('desk.signInFirst')}</p>
      </div>
    );
  }
  return (
    <div className="desk audit">
      <h1 className="visually-hidden">{say('screen.audit')}</h1>
      <AuditTabs />
      {actions.length > 0 && (
        // biome-ignore lint/a11y/useSemanticElements: a row of buttons, not of fields
        <div className="desk-actions" role="group" aria-label={say('desk.actions')}>
          {actions.map((action) => (
            <ActionButton key={action.id} action={action} />
          ))}
        </div>
      )}
      <div className="audit-panel" role="tabpanel" id="audit-panel" aria-labelledby={tabId(tab)}>
        {tab === 'serial' && <SerialTab />}
        {tab === 'search' && <SearchTab />}
        {tab === 'lots' && <LotsTab />}
        {tab === 'stations' && <StationsTab />}
        {tab === 'charts' && <ChartsTab />}
        {tab === 'export' && <ExportTab />}
        {tab === 'impact' && <ImpactTab />}
      </div>
    </div>
  );
}
