import { useEffect, useRef } from 'react';
import { useSituation, useWording } from '../workbench.ts';

/** Covers everything, dialogs too, while the station cannot be heard: nothing shown would be current. */
export function ConnectionOverlay() {
  const { connection } = useSituation();
  return connection === 'connected' ? null : <Overlay lost={connection === 'lost'} />;
}

function Overlay({ lost }: { readonly lost: boolean }) {
  const { say } = useWording();
  const cover = useRef<HTMLDivElement>(null);
  useEffect(() => {
    cover.current?.showPopover();
  }, []);
  return (
    <div
      ref={cover}
      popover="manual"
      className="overlay"
      role="alertdialog"
      aria-modal="true"
      aria-label={say(lost ? 'connection.lost' : 'connection.connecting')}
      data-testid="connection"
    >
      <div className="overlay-box">
        <p className="overlay-main">{say(lost ? 'connection.lost' : 'connection.connecting')}</p>
        {lost && <p>{say('connection.next')}</p>}
        <div className="overlay-motion" aria-hidden="true" />
      </div>
    </div>
  );
}
