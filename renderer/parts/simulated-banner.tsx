import { useSituation, useWording } from '../workbench.ts';

/** The word that must be seen everywhere on a bench of simulated instruments. */
export function SimulatedBanner() {
  const { snapshot } = useSituation();
  const { say } = useWording();
  if (snapshot?.simulated !== true) return null;
  return (
    <div className="simulated-banner" data-testid="simulated">
      <span>
        <strong>{say('simulated.word')}</strong> {say('simulated.sentence')}
      </span>
    </div>
  );
}
