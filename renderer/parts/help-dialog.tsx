import { workingActions } from '../actions/all.ts';
import { useSituation, useWording, useWorkbench } from '../workbench.ts';
import { KeyCap } from './key-cap.tsx';
import { PageDialog } from './page-dialog.tsx';

/** Every key that works at this moment, from the same table as buttons and menus. */
export function HelpDialog() {
  const { actions } = useWorkbench();
  const situation = useSituation();
  const { say } = useWording();
  const working = workingActions(actions, situation);
  const byKey = working.filter(({ key }) => key !== null);
  const elsewhere = working.filter(({ key }) => key === null);
  return (
    <PageDialog title={say('help.title')} wide>
      <p>{say('help.scanner')}</p>
      <dl className="help">
        {byKey.map((action) => (
          <div key={action.id}>
            <dt>
              <KeyCap name={action.key ?? ''} />
            </dt>
            <dd>{say(action.label(situation))}</dd>
          </div>
        ))}
      </dl>
      <p>
        <KeyCap name="F2" /> › {elsewhere.map((action) => say(action.label(situation))).join(', ')}
      </p>
    </PageDialog>
  );
}
