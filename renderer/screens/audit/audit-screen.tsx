import { useEffect } from 'react';
import { focusEntry } from '../../key-handling.ts';
import { EntryField } from '../../parts/entry-field.tsx';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { Timeline } from './timeline.tsx';
import { VerifyResult } from './verify-result.tsx';

/** Type a serial, see every captured reading; and prove that nothing was altered. */
export function AuditScreen() {
  const { screen } = useSituation();
  const { hands, actions, perform } = useWorkbench();
  const { say, moment } = useWording();
  const { found, timeline } = screen.audit;
  useEffect(focusEntry, []);
  return (
    <div className="desk">
      <h1>{say('audit.title')}</h1>
      <div className="audit-top">
        <EntryField testId="audit-serial" label={say('field.serial')} hint={say('audit.hint')} />
        <VerifyResult />
      </div>
      {timeline === null && found.length > 0 && (
        <section>
          <h2>{say('audit.found')}</h2>
          <ul className="found">
            {found.map((one, index) => (
              <li key={one.serial}>
                <button
                  type="button"
                  className="action"
                  data-testid={`found-${one.serial}`}
                  onClick={() => {
                    hands.setDraft({ text: one.serial, choice: index });
                    const show = actions.find(({ id }) => id === 'find-readings');
                    if (show !== undefined) perform(show);
                  }}
                >
                  <span className="action-label">{one.serial}</span>
                  <span className="quiet">
                    {one.headId} · {moment(one.lastVisitAt)}
                  </span>
                </button>
              </li>
            ))}
          </ul>
        </section>
      )}
      {timeline !== null && <Timeline timeline={timeline} />}
    </div>
  );
}
