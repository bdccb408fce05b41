import type { VerifyProgress } from '../../../shared/contract.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { useSituation, useWording } from '../../workbench.ts';

/** Most problems that are listed. */
const mostListed = 50;

/** How far verification is, and what it found, in words. */
export function VerifyResult() {
  const { verify } = useSituation();
  const { say } = useWording();
  return (
    <section className="verify" aria-live="polite" data-testid="verify">
      <h2>{say('audit.verify')}</h2>
      {verify === null ? <p>{say('audit.verifyNever')}</p> : <Progress verify={verify} />}
      {verify !== null && verify.problems.length > 0 && <Problems problems={verify.problems} />}
    </section>
  );
}

function Progress({ verify }: { readonly verify: VerifyProgress }) {
  const { say } = useWording();
  const { done, total, finished, stopped, intact } = verify;
  if (stopped) return <p>{say('audit.verifyStopped', { done, total })}</p>;
  if (!finished) {
    return (
      <>
        <p>{say('audit.verifyRunning', { done, total })}</p>
        <progress max={Math.max(1, total)} value={done} aria-label={say('audit.verify')} />
      </>
    );
  }
  if (intact !== true) return null;
  return (
    <p className="is-pass with-icon">
      <VerdictIcon verdict="pass" /> {say('audit.verifyIntact', { total })}
    </p>
  );
}

function Problems({ problems }: Pick<VerifyProgress, 'problems'>) {
  const { say } = useWording();
  return (
    <>
      <p className="is-fail with-icon">
        <VerdictIcon verdict="fail" />
        {say('audit.verifyBroken', { count: problems.length })}
      </p>
      <ul>
        {problems.slice(0, mostListed).map((problem) => (
          <li key={`${problem.serial} ${problem.sequence} ${problem.kind} ${problem.sentence}`}>
            {problem.serial !== null &&
              say('audit.problemAt', {
                serial: problem.serial,
                sequence: problem.sequence ?? '?',
              })}{' '}
            {problem.sentence}
          </li>
        ))}
      </ul>
    </>
  );
}
