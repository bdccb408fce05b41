import { ActionButton } from '../../parts/action-button.tsx';
import { useActions, useSituation, useWording } from '../../workbench.ts';

/** What hands and cable would do, on a bench of simulated instruments only; kept apart from the work. */
export function SimulatorPanel() {
  const { snapshot } = useSituation();
  const actions = useActions('simulator');
  const { say } = useWording();
  if (snapshot?.simulated !== true || actions.length === 0) return null;
  return (
    <section className="simulator" aria-label={say('simulate.title')} data-testid="simulator">
      <h2>{say('simulate.title')}</h2>
      <div className="simulator-actions">
        {actions.map((action) => (
          <ActionButton key={action.id} action={action} />
        ))}
      </div>
    </section>
  );
}
