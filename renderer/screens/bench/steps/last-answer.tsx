import { VerdictIcon } from '../../../parts/icons.tsx';
import { useSituation, useWording } from '../../../workbench.ts';

/** The answer before this one, where a step stands failed and is answered again. */
export function LastAnswer() {
  const { stepState } = useSituation();
  const { say, decimal } = useWording();
  const last = stepState?.attempts.at(-1);
  if (last === undefined || last.outcome === 'pass' || last.entry === undefined) return null;
  const entry =
    last.entry === 'yes' || last.entry === 'no' ? say(`step.check.${last.entry}`) : decimal(last.entry);
  return (
    <p className="last-answer">
      <VerdictIcon verdict="fail" />
      <span>{say('step.last', { entry })}</span>
    </p>
  );
}
