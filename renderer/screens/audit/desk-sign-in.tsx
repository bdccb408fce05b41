import { useEffect } from 'react';
import { focusEntry } from '../../key-handling.ts';
import { EntryField } from '../../parts/entry-field.tsx';
import { useWording } from '../../workbench.ts';

/** The door of another desk: a name and a PIN, no list of names. */
export function DeskSignIn() {
  const { say } = useWording();
  useEffect(focusEntry, []);
  return (
    <section className="desk desk-door">
      <h1>{say('desk.door.title')}</h1>
      <p className="quiet">{say('desk.door.text')}</p>
      <EntryField testId="desk-name" scan="yes" label={say('desk.door.name')} />
      <EntryField testId="desk-pin" kind="secret" part="second" entry={false} label={say('field.pin')} />
    </section>
  );
}
