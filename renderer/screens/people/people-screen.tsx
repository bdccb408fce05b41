import { useSituation, useWording } from '../../workbench.ts';

/** Who may work here, and as what. */
export function PeopleScreen() {
  const { snapshot } = useSituation();
  const { say } = useWording();
  const people = snapshot?.people ?? [];
  return (
    <div className="desk">
      <h1 className="visually-hidden">{say('screen.people')}</h1>
      {people.length === 0 ? (
        <p>{say('people.none')}</p>
      ) : (
        <table className="people">
          <thead>
            <tr>
              <th scope="col">{say('people.name')}</th>
              <th scope="col">{say('people.roles')}</th>
            </tr>
          </thead>
          <tbody>
            {people.map((person) => (
              <tr key={person.personId}>
                <th scope="row">
                  {person.name}
                  {snapshot?.signedIn?.personId === person.personId && (
                    <span className="tag">{say('people.here')}</span>
                  )}
                </th>
                <td>{person.roles.map((role) => say(`role.${role}`)).join(', ')}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </div>
  );
}
