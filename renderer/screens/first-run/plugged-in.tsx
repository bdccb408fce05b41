import { useSituation, useWording } from '../../workbench.ts';

/** The ports that are there, so that a cable that is not found shows before anything is set up. */
export function PluggedIn() {
  const { snapshot } = useSituation();
  const { say } = useWording();
  const ports = snapshot?.firstRun?.ports ?? [];
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
    </div>
  );
}
