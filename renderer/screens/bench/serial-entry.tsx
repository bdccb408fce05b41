import { ChoiceList } from '../../parts/choice-list.tsx';
import { EntryField } from '../../parts/entry-field.tsx';
import { useSituation, useWording } from '../../workbench.ts';

/** The start of every job: one field for the serial, and the jobs that are open. */
export function SerialEntry() {
  const { choices } = useSituation();
  const { say } = useWording();
  return (
    <section className="entry-page">
      <div>
        <h1>{say('start.title')}</h1>
        <EntryField testId="serial" scan="yes" label={say('field.serial')} hint={say('start.hint')} />
      </div>
      <div>
        <h2>{say('start.openJobs')}</h2>
        {choices.length === 0 ? (
          <p className="quiet">{say('start.noOpenJobs')}</p>
        ) : (
          <ChoiceList label={say('start.openJobs')} />
        )}
      </div>
    </section>
  );
}
