import { labelOf } from '../../parts/choice-list.tsx';
import { hidLackText } from '../../state/hid-lack.ts';
import { useSituation, useWording } from '../../workbench.ts';

/** The ports that are there, so that a cable that is not found shows before anything is set up. */
export function PluggedIn() {
  const { snapshot } = useSituation();
  const wording = useWording();
  const { say } = wording;
  const { ports = [], hidLack = null } = snapshot?.firstRun ?? {};
  return (
    <div data-testid="plugged-in">
      <h2>{say('firstRun.ports')}</h2>
      {ports.length === 0 ? (
        <p className="quiet">{say('firstRun.noPorts')}</p>
      ) : (
        <ul className="lead">
          {ports.map(({ path, name }) => (
            <li key={path}>
              {path} {name}
            </li>
          ))}
        </ul>
      )}
      {hidLack !== null && <p className="quiet">{labelOf(hidLackText(hidLack), wording)}</p>}
    </div>
  );
}
