import type { AsFoundFinding } from '../../../shared/calibration/as-found-finding.ts';
import { VerdictIcon } from '../../parts/icons.tsx';
import { roughText } from '../../wording/wording.ts';
import { useWording } from '../../workbench.ts';

/** What a calibration found before adjustment, in one sentence. */
export function FindingSentence({ finding }: { readonly finding: AsFoundFinding | null }) {
  const { say, quantity } = useWording();
  if (finding === null) return <p>{say('audit.impact.noPoints')}</p>;
  const { indication, error, permitted, outOfTolerance, unit } = finding;
  const print = (value: number) => quantity(String(Number(roughText(value, 4))), unit);
  const values = { indication: print(indication), error: print(error) };
  if (permitted === null) return <p>{say('audit.impact.findingOnly', values)}</p>;
  return (
    <p className={outOfTolerance === true ? 'is-fail with-icon' : 'is-pass with-icon'} data-testid="finding">
      <VerdictIcon verdict={outOfTolerance === true ? 'fail' : 'pass'} />
      <span>
        {say('audit.impact.finding', { ...values, permitted: print(permitted) })}{' '}
        <strong>{say(outOfTolerance === true ? 'audit.impact.out' : 'audit.impact.inside')}</strong>
      </span>
    </p>
  );
}
