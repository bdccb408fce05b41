import { EntryField } from '../../parts/entry-field.tsx';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';
import { showSerial } from './show-serial.ts';
import { Timeline } from './timeline.tsx';
import { VerifyResult } from './verify-result.tsx';
import { VisitComparison } from './visit-comparison.tsx';

/** Type a serial, see every captured reading; and prove that nothing was altered. */
export function SerialTab() {
  const { screen, snapshot } = useSituation();
  const { found, timeline, compared } = screen.audit;
  const { hands } = useWorkbench();
  const { say, moment } = useWording();
  return (
    <>
      <div className="audit-top">
        <EntryField testId="audit-serial" scan="yes" label={say('field.serial')} hint={say('audit.hint')} />
        {snapshot?.site === undefined && <VerifyResult />}
      </div>
      {timeline === null && found.length > 0 && (
        <section>
          <h2>{say('audit.found')}</h2>
          <ul className="found">
            {found.map((one) => (
              <li key={one.serial}>
                <button
                  type="button"
                  className="action"
                  data-testid={`found-${one.serial}`}
                  onClick={() => void showSerial(hands, one.serial)}
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
      {timeline !== null &&
        (compared === null ? <Timeline timeline={timeline} /> : <VisitComparison timeline={timeline} />)}
    </>
  );
}
