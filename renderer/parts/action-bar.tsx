import { useActions, useWording } from '../workbench.ts';
import { ActionButton } from './action-button.tsx';

/** The next action first and largest, the others beside it, each with its key. */
export function ActionBar() {
  const main = useActions('main');
  const others = useActions('bar');
  const { say } = useWording();
  return (
    <nav className="action-bar" aria-label={say('help.title')}>
      {main.map((action) => (
        <ActionButton key={action.id} action={action} main />
      ))}
      <div className="action-others">
        {others.map((action) => (
          <ActionButton key={action.id} action={action} />
        ))}
      </div>
    </nav>
  );
}
