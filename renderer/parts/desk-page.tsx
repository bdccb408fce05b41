import { useEffect } from 'react';
import { focusEntry } from '../key-handling.ts';
import type { MessageKey } from '../wording/english.ts';
import { useActions, useSituation, useWording, useWorkbench } from '../workbench.ts';
import { ActionButton } from './action-button.tsx';

interface DeskPageProperties {
  readonly title: MessageKey;
  /** Changes when the station knows something that this screen has to fetch anew. */
  readonly stamp?: string;
  readonly children: React.ReactNode;
}

/** A screen of leads and administrators: what can be done on top, the rest below. Fetches what it shows. */
export function DeskPage({ title, stamp = '', children }: DeskPageProperties) {
  const { hands } = useWorkbench();
  const { connection, snapshot } = useSituation();
  const actions = useActions('desk');
  const { say } = useWording();
  const personId = snapshot?.signedIn?.personId;
  // biome-ignore lint/correctness/useExhaustiveDependencies: the stamp says that something is to be fetched anew
  useEffect(() => {
    if (connection === 'connected' && personId !== undefined) void hands.loadDesk();
  }, [hands, connection, personId, stamp]);
  useEffect(() => {
    const fetchAnew = () => void hands.loadDesk();
    window.addEventListener('focus', fetchAnew);
    return () => window.removeEventListener('focus', fetchAnew);
  }, [hands]);
  useEffect(() => {
    document.getElementById('main')?.scrollTo(0, 0);
    focusEntry();
  }, []);
  return (
    <div className="desk">
      <h1 className="visually-hidden">{say(title)}</h1>
      {personId === undefined ? (
        <p>{say('desk.signInFirst')}</p>
      ) : (
        <>
          {actions.length > 0 && (
            // biome-ignore lint/a11y/useSemanticElements: a fieldset would bring a frame of its own
            <div className="desk-actions" role="group" aria-label={say('desk.actions')}>
              {actions.map((action) => (
                <ActionButton key={action.id} action={action} />
              ))}
            </div>
          )}
          {children}
        </>
      )}
    </div>
  );
}
