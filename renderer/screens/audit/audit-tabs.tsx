import { showAuditTabs } from '../../actions/audit-tab.ts';
import { auditTabs } from '../../state/audit-state.ts';
import { keyName } from '../../wording/key-name.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';

export function tabId(tab: string): string {
  return `audit-tab-${tab}`;
}

/** What the audit screen is about: by function keys, or by the arrows on the tabs. */
export function AuditTabs() {
  const { screen } = useSituation();
  const { perform } = useWorkbench();
  const { say, language } = useWording();
  const at = auditTabs.indexOf(screen.audit.tab);
  const show = (index: number) => {
    const action = showAuditTabs[(index + auditTabs.length) % auditTabs.length];
    if (action === undefined) return;
    perform(action);
    const tab = auditTabs[(index + auditTabs.length) % auditTabs.length];
    requestAnimationFrame(() => document.getElementById(tabId(tab ?? ''))?.focus());
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
      {showAuditTabs.map((action, index) => (
        <button
          key={action.id}
          type="button"
          role="tab"
          id={tabId(auditTabs[index] ?? '')}
          className="action tab"
          aria-selected={index === at}
          aria-controls="audit-panel"
          tabIndex={index === at ? 0 : -1}
          data-testid={`action-${action.id}`}
          onMouseDown={(event) => event.preventDefault()}
          onClick={() => perform(action)}
        >
          {action.key !== null && <kbd className="key">{keyName(action.key, language)}</kbd>}
          <span className="action-label">{say(`audit.tab.${auditTabs[index] ?? 'serial'}`)}</span>
        </button>
      ))}
    </div>
  );
}
