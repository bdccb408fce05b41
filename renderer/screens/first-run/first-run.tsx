import { ChoiceList } from '../../parts/choice-list.tsx';
import { EntryField } from '../../parts/entry-field.tsx';
import { Keypad } from '../../parts/keypad.tsx';
import { useSituation, useWording } from '../../workbench.ts';
import { PluggedIn } from './plugged-in.tsx';

/** The first start on an empty data folder: the demo, or a workshop with its first administrator. One page, one question. */
export function FirstRun() {
  const { screen } = useSituation();
  const { say } = useWording();
  const { page, administrator } = screen.settingUp;
  switch (page) {
    case 'choice':
      return (
        <section className="entry-page is-first-run" data-testid="first-run-choice">
          <h1>{say('firstRun.title')}</h1>
          <ChoiceList label={say('firstRun.choices')} entry />
          <PluggedIn />
        </section>
      );
    case 'workshop':
      return (
        <section className="entry-page is-single" data-testid="first-run-workshop">
          <h1>{say('firstRun.workshopTitle')}</h1>
          <EntryField scan="no" label={say('firstRun.workshopName')} hint={say('firstRun.workshopHint')} />
        </section>
      );
    case 'administrator':
      return (
        <section className="entry-page is-single" data-testid="first-run-administrator">
          <h1>{say('firstRun.administratorTitle')}</h1>
          <EntryField
            scan="no"
            label={say('firstRun.administratorName')}
            hint={say('firstRun.administratorHint')}
          />
        </section>
      );
    case 'pin':
      return (
        <NewPin
          page={page}
          title={say('firstRun.pinTitle', { name: administrator })}
          label={say('firstRun.pin')}
        />
      );
    case 'again':
      return <NewPin page={page} title={say('firstRun.pinAgainTitle')} label={say('firstRun.pinAgain')} />;
    case 'done':
      return <Done />;
  }
}

interface NewPinProperties {
  readonly page: 'pin' | 'again';
  readonly title: string;
  readonly label: string;
}

function NewPin({ page, title, label }: NewPinProperties) {
  const { say } = useWording();
  return (
    <section className="entry-page is-pin" data-testid={`first-run-${page}`}>
      <div>
        <h1>{title}</h1>
        <EntryField kind="secret" testId="pin" scan="no" label={label} hint={say('firstRun.pinHint')} />
      </div>
      <Keypad />
    </section>
  );
}

/** What is to be noted before the work begins. */
function Done() {
  const { screen } = useSituation();
  const { say } = useWording();
  const { dataFolder, keyId } = screen.settingUp;
  return (
    <section className="entry-page is-single" data-testid="first-run-done">
      <h1>{say('firstRun.doneTitle')}</h1>
      <p className="lead">{say('firstRun.doneFolder', { folder: dataFolder })}</p>
      <dl className="key-note">
        <dt>{say('firstRun.keyId')}</dt>
        <dd data-testid="key-id">{keyId.match(/.{8}/g)?.join(' ')}</dd>
      </dl>
      <p className="lead">{say('firstRun.keyHint')}</p>
      <p className="lead">{say('firstRun.instruments')}</p>
    </section>
  );
}
