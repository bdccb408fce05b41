import { useSituation, useWording } from '../workbench.ts';

/** Covers everything while the station cannot be heard: nothing shown would be current. */
export function ConnectionOverlay() {
  const { connection } = useSituation();
  const { say } = useWording();
  if (connection === 'connected') return null;
  return (
    <div
      className="overlay"
      role="alertdialog"
      aria-modal="true"
      aria-label="Bandwright"
      data-testid="connection"
    >
      <div className="overlay-box">
        <p className="overlay-main">
          {say(connection === 'lost' ? 'connection.lost' : 'connection.connecting')}
        </p>
        {connection === 'lost' && <p>{say('connection.next')}</p>}
        <div className="overlay-motion" aria-hidden="true" />
      </div>
    </div>
  );
}
