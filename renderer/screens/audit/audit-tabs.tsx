import { showAuditTabs } from '../../actions/audit-tab.ts';
import { auditTabs, tabsAt } from '../../state/audit-state.ts';
import { keyName } from '../../wording/key-name.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';

export function tabId(tab: string): string {
  return `audit-tab-${tab}`;
}

/** What the audit screen is about: by function keys, or by the arrows on the tabs. */
export function AuditTabs() {
  const { screen, snapshot } = useSituation();
  const { perform } = useWorkbench();
  const { say, language } = useWording();
  const tabs = tabsAt(snapshot);
  const at = tabs.indexOf(screen.audit.tab);
  const show = (index: number) => {
    const tab = tabs[(index + tabs.length) % tabs.length] ?? 'serial';
    const action = showAuditTabs[auditTabs.indexOf(tab)];
    if (action === undefined) return;
    perform(action);
    requestAnimationFrame(() => document.getElementById(tabId(tab))?.focus());
  };
  return (
    <div
      className="tabs"
      role="tablist"
      aria-label={say('screen.audit')}
      onKeyDown={(event) => {
        if (event.key === 'ArrowRight') show(at + 1);
        if (event.key === 'ArrowLeft') show(at - 1);
      }}
    >
      {tabs.map((tab) => {
        const action = showAuditTabs[auditTabs.indexOf(tab)];
        if (action === undefined) return null;
        const isShown = tab === screen.audit.tab;
        return (
          <button
            key={action.id}
            type="button"
            role="tab"
            id={tabId(tab)}
            className="action tab"
            aria-selected={isShown}
            aria-controls="audit-panel"
            tabIndex={isShown ? 0 : -1}
            data-testid={`action-${action.id}`}
            onMouseDown={(event) => event.preventDefault()}
            onClick={() => perform(action)}
          >
            {action.key !== null && <kbd className="key">{keyName(action.key, language)}</kbd>}
            <span className="action-label">{say(`audit.tab.${tab}`)}</span>
          </button>
        );
      })}
    </div>
  );
}
