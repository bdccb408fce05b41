import type { Action } from '../actions/action.ts';
import { keyName } from '../wording/key-name.ts';
import { useSituation, useWording, useWorkbench } from '../workbench.ts';

/**
 * The button of an action. A touch does not take the focus away from where a scan or Enter is meant to go.
 */
export function ActionButton({ action, main = false }: { readonly action: Action; readonly main?: boolean }) {
  const { perform } = useWorkbench();
  const situation = useSituation();
  const { say, language } = useWording();
  return (
    <button
      type="button"
      className={main ? 'action is-main' : 'action'}
      data-testid={`action-${action.id}`}
      disabled={!action.enabled(situation)}
      onMouseDown={(event) => event.preventDefault()}
      onClick={() => perform(action)}
    >
      {action.key !== null && <kbd className="key">{keyName(action.key, language)}</kbd>}
      <span className="action-label">{say(action.label(situation))}</span>
    </button>
  );
}
