import { guidanceOf } from '../state/guidance.ts';
import type { Outcome } from '../state/outcome.ts';
import type { Situation } from '../state/situation.ts';
import { troubleOf } from '../state/trouble.ts';
import type { Verdict } from '../state/verdict.ts';
import { useVerdict } from '../use-verdict.ts';
import { noticeSentence } from '../wording/refusal-sentence.ts';
import { troubleSentence } from '../wording/trouble-sentence.ts';
import type { Wording } from '../wording/wording.ts';
import { useSituation, useWording } from '../workbench.ts';
import { VerdictIcon } from './icons.tsx';

/**
 * The sentence of the moment, always at the same place: a refusal, else trouble with the instrument, else what
 * came of the last attempt, and what to do next. It is announced to those who do not see it.
 */
export function SentenceBar() {
  const situation = useSituation();
  const wording = useWording();
  const { verdict, side } = useVerdict(situation);
  const { notice, outcome, screen } = situation.screen;
  const atBench = screen === 'bench';
  const trouble = atBench ? troubleOf(situation) : null;
  const next = atBench ? guidanceOf(situation, verdict, side) : null;
  const nextText = next === null ? '' : wording.say(next);
  if (notice?.tone === 'done') {
    return (
      <p className="sentence is-pass" role="status" data-testid="sentence">
        <VerdictIcon verdict="pass" />
        <span>{noticeSentence(notice, wording)}</span>
      </p>
    );
  }
  if (notice !== null) {
    return (
      <p className="sentence is-refused" role="alert" data-testid="sentence">
        <VerdictIcon verdict="conditional fail" />
        <span>{noticeSentence(notice, wording)}</span>
      </p>
    );
  }
  if (trouble !== null) {
    return (
      <p className="sentence is-trouble" role="alert" data-testid="sentence">
        <VerdictIcon verdict="stale" />
        <span>{troubleSentence(trouble, situation.instrument?.name ?? '', wording)}</span>
      </p>
    );
  }
  if (atBench && outcome !== null && !isOvertaken(outcome, situation, verdict)) {
    return (
      <p className={`sentence ${outcomeClass(outcome)}`} role="status" data-testid="sentence">
        <VerdictIcon verdict={outcome.decision ?? (outcome.passed ? 'pass' : 'fail')} />
        <span>
          <strong data-testid="outcome">{outcomeSentence(outcome, wording)}</strong> {nextText}
        </span>
      </p>
    );
  }
  return (
    <p className="sentence" role="status" data-testid="sentence">
      <span>{nextText}</span>
    </p>
  );
}

/** A pull or a fill that is judged now matters more than what came of the step or the attempt before. */
function isOvertaken(outcome: Outcome, { step }: Situation, verdict: Verdict): boolean {
  if (step?.kind !== 'mass' && step?.kind !== 'torque') return false;
  if (!outcome.passed && verdict === 'pass') return true;
  const isOfThisStep = outcome.stepTitle.en === step.title.en;
  const isJudged = !['waiting', 'absent', 'unsettled', 'stale'].includes(verdict);
  return isJudged && (step.kind === 'torque' || !isOfThisStep);
}

function outcomeClass(outcome: Outcome): string {
  if (!outcome.passed) return 'is-fail';
  return outcome.decision === null || outcome.decision === 'pass' ? 'is-pass' : 'is-conditional';
}

function outcomeSentence(outcome: Outcome, wording: Wording): string {
  const step = wording.of(outcome.stepTitle);
  if (outcome.decision !== null && outcome.measured !== null) {
    return wording.say('outcome.measured', {
      step,
      decision: wording.say(`verdict.${outcome.decision}`),
      quantity: wording.quantity(outcome.measured.text, outcome.measured.unit),
    });
  }
  return wording.say(outcome.passed ? 'outcome.passed' : 'outcome.failed', { step });
}
