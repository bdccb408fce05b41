import { ChoiceList } from '../../parts/choice-list.tsx';
import { EntryField } from '../../parts/entry-field.tsx';
import { Keypad } from '../../parts/keypad.tsx';
import { useSituation, useWording } from '../../workbench.ts';

/** Badge or name first, then the PIN. */
export function SignIn() {
  const { screen, snapshot } = useSituation();
  const { say } = useWording();
  const who = screen.signingIn;
  if (who !== null) {
    const demo = snapshot?.people.find(
      ({ personId, demo: seed }) =>
        personId === who.personId || (seed !== undefined && seed.badge === who.badge),
    )?.demo;
    return (
      <section className="entry-page is-pin">
        <div>
          <h1>{say('signIn.title')}</h1>
          <EntryField
            kind="secret"
            testId="pin"
            label={who.name === '' ? say('signIn.pinOfBadge') : say('signIn.pinOf', { name: who.name })}
            {...(demo === undefined ? {} : { hint: say('signIn.demoPin', { pin: demo.pin }) })}
          />
        </div>
        <Keypad />
      </section>
    );
  }
  return (
    <section className="entry-page">
      <div>
        <h1>{say('signIn.title')}</h1>
        <EntryField
          kind="secret"
          testId="badge"
          scan="yes"
          label={say('signIn.badge')}
          hint={say('signIn.badgeHint')}
        />
      </div>
      <ChoiceList label={say('signIn.names')} />
    </section>
  );
}
