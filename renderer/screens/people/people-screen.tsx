import type { PersonAccountView } from '../../../shared/management-view.ts';
import { DeskList } from '../../parts/desk-list.tsx';
import { DeskPage } from '../../parts/desk-page.tsx';
import { VerdictIcon } from '../../parts/icons.tsx';
import { chosenAccount } from '../../state/desk-state.ts';
import { useSituation, useWording, useWorkbench } from '../../workbench.ts';

/** Who may work here, and as what; for the administrator the accounts. */
export function PeopleScreen() {
  const { snapshot, screen } = useSituation();
  const { hands } = useWorkbench();
  const { say } = useWording();
  const people = snapshot?.people ?? [];
  const { accounts } = screen.desk;
  const chosen = chosenAccount(screen.desk);
  const rolesOf = ({ roles }: Pick<PersonAccountView, 'roles'>) =>
    roles.map((role) => say(`role.${role}`)).join(', ');
  return (
    <DeskPage
      title="screen.people"
      stamp={people.map(({ personId, roles }) => `${personId} ${roles.join()}`).join()}
    >
      {accounts === null ? (
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
                <td>{rolesOf(person)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      ) : (
        <div className="two-sides">
          <DeskList
            label={say('people.list')}
            chosenId={chosen?.personId}
            onChoose={(personId) => hands.setDesk({ personId })}
            items={accounts.map((account) => ({
              id: account.personId,
              label: account.name,
              detail: account.active ? rolesOf(account) : say('people.left'),
              mark: <VerdictIcon verdict={canSignIn(account) ? 'pass' : 'fail'} />,
            }))}
          />
          {chosen !== undefined && <Account account={chosen} />}
        </div>
      )}
    </DeskPage>
  );
}

function canSignIn({ active, hasPin, pinLocked }: PersonAccountView): boolean {
  return active && hasPin && !pinLocked;
}

function Account({ account }: { readonly account: PersonAccountView }) {
  const { snapshot } = useSituation();
  const { say } = useWording();
  const { personId, name, roles, badge, active, hasPin, pinLocked } = account;
  const isGood = canSignIn(account);
  return (
    <article className="desk-detail" data-testid={`account-${personId}`}>
      <header className="desk-detail-head">
        <h2>{name}</h2>
        {snapshot?.signedIn?.personId === personId && <p className="tag">{say('people.here')}</p>}
      </header>
      <dl className="facts">
        <div>
          <dt>{say('people.personId')}</dt>
          <dd>{personId}</dd>
        </div>
        <div>
          <dt>{say('people.roles')}</dt>
          <dd>{roles.map((role) => say(`role.${role}`)).join(', ')}</dd>
        </div>
        <div>
          <dt>{say('people.badge')}</dt>
          <dd>{badge ?? say('people.noBadge')}</dd>
        </div>
        <div>
          <dt>{say('people.pin')}</dt>
          <dd className={isGood ? 'with-icon is-pass' : 'with-icon is-fail'}>
            <VerdictIcon verdict={isGood ? 'pass' : 'fail'} />
            <span>
              {say(
                !active
                  ? 'people.left'
                  : !hasPin
                    ? 'people.pinMissing'
                    : pinLocked
                      ? 'people.pinLocked'
                      : 'people.pinSet',
              )}
            </span>
          </dd>
        </div>
      </dl>
    </article>
  );
}
