import type { VerifyProgress } from '../../../shared/contract.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { faultSentence } from '../../wording/refusal-sentence.ts';
import { useSituation, useWording } from '../../workbench.ts';
import { problemSentences } from './problem-sentence.ts';

/** Most problems that are listed. */
const mostListed = 50;

/** How far verification is, and what it found, in words. */
export function VerifyResult() {
  const { verify, snapshot } = useSituation();
  const { say } = useWording();
  const never = snapshot?.site === undefined ? 'audit.verifyNever' : 'audit.verifyNeverSite';
  return (
    <section className="verify" aria-live="polite" data-testid="verify">
      <h2>{say('audit.verify')}</h2>
      {verify?.site !== undefined && <OfChain chainId={verify.site.chainId} />}
      {verify === null ? <p>{say(never)}</p> : <Progress verify={verify} />}
      {verify !== null && verify.problems.length > 0 && <Problems problems={verify.problems} />}
    </section>
  );
}

function Progress({ verify }: { readonly verify: VerifyProgress }) {
  const wording = useWording();
  const { say } = wording;
  const { done, total, finished, stopped, intact, chainIntact } = verify;
  if (verify.failed != null) {
    return (
      <p className="is-fail with-icon">
        <VerdictIcon verdict="stale" /> {faultSentence(verify.failed, wording)}
      </p>
    );
  }
  const isInContent = chainIntact != null;
  if (stopped) {
    return (
      <>
        {chainIntact === true && <ChainIntact />}
        <p>{say(isInContent ? 'audit.verifyContentStopped' : 'audit.verifyStopped', { done, total })}</p>
      </>
    );
  }
  if (!finished) {
    const running = isInContent ? 'audit.verifyContent' : 'audit.verifyRunning';
    return (
      <>
        {chainIntact === true && <ChainIntact />}
        <p>{say(verify.site?.fetching === true ? 'audit.verifyFetching' : running, { done, total })}</p>
        <progress max={Math.max(1, total)} value={done} aria-label={say('audit.verify')} />
      </>
    );
  }
  if (intact !== true) return chainIntact === true ? <ChainIntact /> : null;
  return (
    <p className="is-pass with-icon">
      <VerdictIcon verdict="pass" /> {say('audit.verifyIntact', { total })}
    </p>
  );
}

/** The first stage ended well: long before the second, in a large store. */
function ChainIntact() {
  const { say } = useWording();
  return (
    <p className="is-pass with-icon" data-testid="chain-intact">
      <VerdictIcon verdict="pass" /> {say('audit.verifyChainIntact')}
    </p>
  );
}

/** Whose chain it is. */
function OfChain({ chainId }: { readonly chainId: number }) {
  const { chains } = useSituation().screen.audit;
  const { say } = useWording();
  const chain = chains?.find((one) => one.chainId === chainId);
  if (chain === undefined) return null;
  const { benchId, stationId, branch } = chain;
  return (
    <p data-testid="verified-chain">
      {say('audit.verifyOf', { bench: benchId, station: stationId, branch })}
    </p>
  );
}

function Problems({ problems }: Pick<VerifyProgress, 'problems'>) {
  const wording = useWording();
  const { say } = wording;
  return (
    <>
      <p className="is-fail with-icon">
        <VerdictIcon verdict="fail" />
        {say('audit.verifyBroken', { count: problems.length })}
      </p>
      <ul>
        {problems.slice(0, mostListed).map((problem) => {
          const [kind, finding] = problemSentences(problem, wording);
          return (
            <li key={`${kind} ${finding}`}>
              {kind} <span className="quiet">{finding}</span>
            </li>
          );
        })}
      </ul>
    </>
  );
}
