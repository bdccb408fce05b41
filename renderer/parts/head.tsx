import { useActions, useSituation, useWording } from '../workbench.ts';
import { ActionButton } from './action-button.tsx';
import { Mark } from './icons.tsx';

/** Who and where: mark, workshop, screen or serial, the person, and the two keys that always work. */
export function Head() {
  const { snapshot, job, screen, phase } = useSituation();
  const { say } = useWording();
  const actions = useActions('head');
  const atJob = screen.screen === 'bench' && job !== null;
  return (
    <header className="head">
      <Mark />
      <div className="head-where">
        <span className="head-product">{productLine(snapshot?.workshop ?? '')}</span>
        {atJob ? (
          <span className="head-place" data-testid="serial-in-hand">
            {job.state.serial}
            {job.earlierVisits > 0 && (
              <span className="head-visits">{say('job.visits', { count: job.earlierVisits })}</span>
            )}
          </span>
        ) : (
          <span className="head-place">
            {say(
              screen.screen === 'bench' && phase === 'first run'
                ? 'firstRun.head'
                : `screen.${screen.screen}`,
            )}
          </span>
        )}
      </div>
      <div className="head-person">
        {snapshot?.signedIn == null ? (
          say('head.nobody')
        ) : (
          <>
            <span className="head-name">{snapshot.signedIn.name}</span>
            <span>{snapshot.signedIn.roles.map((role) => say(`role.${role}`)).join(', ')}</span>
          </>
        )}
      </div>
      {actions.map((action) => (
        <ActionButton key={action.id} action={action} />
      ))}
    </header>
  );
}

/** Before the first set-up there is no workshop to name. */
function productLine(workshop: string): string {
  return workshop === '' ? 'Bandwright' : `Bandwright · ${workshop}`;
}
