import type { HealthFindingView, HealthView } from '../../../shared/health-view.ts';
import { signedInMay } from '../../actions/manage.ts';
import { DeskPage } from '../../parts/desk-page.tsx';
import { VerdictIcon } from '../../parts/icons.tsx';
import { healthSentence } from '../../wording/health-sentence.ts';
import { useSituation, useWording } from '../../workbench.ts';

/** Shape and colour of a finding; the word stands beside them. */
const looks = {
  good: { verdict: 'pass', className: 'is-pass' },
  note: { verdict: 'conditional pass', className: 'is-conditional' },
  bad: { verdict: 'fail', className: 'is-fail' },
} as const;

/** What needs somebody to act, as the command `doctor` finds it. */
export function HealthScreen() {
  const situation = useSituation();
  const { say } = useWording();
  const { health } = situation.screen.desk;
  if (!signedInMay(situation, 'readHealth')) {
    return (
      <DeskPage title="screen.health">
        <p>{say('health.otherRole')}</p>
      </DeskPage>
    );
  }
  const view = health === 'looking' || health === 'failed' ? null : health;
  return (
    <DeskPage title="screen.health">
      <div role="status">
        {health === 'failed' ? (
          <p className="is-fail with-icon">
            <VerdictIcon verdict="stale" /> {say('health.failed')}
          </p>
        ) : view === null ? (
          <p>{say('health.looking')}</p>
        ) : (
          <Whole health={view} />
        )}
      </div>
      {view !== null && <Findings findings={view.findings} />}
    </DeskPage>
  );
}

/** Whether anybody has to act, and when it was looked. */
function Whole({ health }: { readonly health: HealthView }) {
  const { say, moment } = useWording();
  const { findings, at } = health;
  const count = findings.filter(({ verdict }) => verdict === 'bad').length;
  const { verdict, className } = looks[count === 0 ? 'good' : 'bad'];
  return (
    <p className={`desk-fitness ${className}`} data-testid="health-whole">
      <VerdictIcon verdict={verdict} />
      <span>
        <strong>
          {count === 0 ? say('health.allGood') : say('health.someBad', { count, total: findings.length })}
        </strong>{' '}
        {say('health.lookedAt', { at: moment(at) })} {say('health.more')}
      </span>
    </p>
  );
}

function Findings({ findings }: Pick<HealthView, 'findings'>) {
  const { say } = useWording();
  return (
    <table>
      <caption className="visually-hidden">{say('health.table')}</caption>
      <thead>
        <tr>
          <th scope="col">{say('health.verdict')}</th>
          <th scope="col">{say('health.subject')}</th>
          <th scope="col">{say('health.sentence')}</th>
        </tr>
      </thead>
      <tbody>
        {findings.map((finding) => (
          <Finding key={finding.subject} finding={finding} />
        ))}
      </tbody>
    </table>
  );
}

function Finding({ finding }: { readonly finding: HealthFindingView }) {
  const wording = useWording();
  const { verdict, className } = looks[finding.verdict];
  return (
    <tr data-testid={`finding-${finding.subject.replace(' ', '-')}`} data-verdict={finding.verdict}>
      <td>
        <span className={`with-icon ${className}`}>
          <VerdictIcon verdict={verdict} />
          <span>{wording.say(`health.verdict.${finding.verdict}`)}</span>
        </span>
      </td>
      <th scope="row">{wording.say(`health.of.${finding.subject}`)}</th>
      <td>{healthSentence(finding, wording)}</td>
    </tr>
  );
}
