import { offeredActions } from '../actions/all.ts';
import { useSituation, useWording, useWorkbench } from '../workbench.ts';
import { KeyCap } from './key-cap.tsx';
import { PageDialog } from './page-dialog.tsx';

/** Every key that works at this moment, from the same table as buttons and menus. */
export function HelpDialog() {
  const { actions } = useWorkbench();
  const situation = useSituation();
  const { say } = useWording();
  const offered = offeredActions(actions, situation);
  return (
    <PageDialog title={say('help.title')} wide>
      <p>{say('help.scanner')}</p>
      <dl className="help">
        {offered.map((action) => (
          <div key={action.id}>
            <dt>
              {action.key === null ? (
                <>
                  <KeyCap name={action.place === 'job menu' ? 'F7' : 'F2'} /> ›
                </>
              ) : (
                <KeyCap name={action.key} />
              )}
            </dt>
            <dd>{say(action.label(situation))}</dd>
          </div>
        ))}
      </dl>
    </PageDialog>
  );
}
