import { useStore } from 'zustand';
import { VerdictIcon } from '../../parts/icons.tsx';
import { useWording, useWorkbench } from '../../workbench.ts';

/** How far verification is, and what it found, in words. */
export function VerifyResult() {
  const { stationStore } = useWorkbench();
  const verify = useStore(stationStore, (state) => state.verify);
  const { say } = useWording();
  return (
    <section className="verify" aria-live="polite" data-testid="verify">
      <h2>{say('audit.verify')}</h2>
      {verify === null && <p>{say('audit.verifyNever')}</p>}
      {verify !== null && !verify.finished && (
        <>
          <p>{say('audit.verifyRunning', { done: verify.done, total: verify.total })}</p>
          <progress max={Math.max(1, verify.total)} value={verify.done} aria-label={say('audit.verify')} />
        </>
      )}
      {verify?.finished === true && verify.intact === true && (
        <p className="is-pass with-icon">
          <VerdictIcon verdict="pass" /> {say('audit.verifyIntact', { total: verify.total })}
        </p>
      )}
      {verify?.finished === true && verify.intact !== true && (
        <>
          <p className="is-fail with-icon">
            <VerdictIcon verdict="fail" />
            {say('audit.verifyBroken', { count: verify.problems.length })}
          </p>
          <ul>
            {verify.problems.slice(0, 50).map((problem) => (
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
      )}
    </section>
  );
}
