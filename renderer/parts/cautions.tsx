import type { Caution } from '../../shared/sheet/caution.ts';
import { useWording } from '../workbench.ts';
import { HazardIcon } from './icons.tsx';

/** The cautions of a step: shape, hazard in one word, and how to keep from it. */
export function Cautions({
  cautions,
  large = false,
}: {
  readonly cautions: readonly Caution[];
  readonly large?: boolean;
}) {
  const { say, of } = useWording();
  if (cautions.length === 0) return null;
  return (
    <ul className={large ? 'cautions is-large' : 'cautions'} aria-label={say('step.cautions')}>
      {cautions.map((caution) => (
        <li key={`${caution.hazard}-${caution.text.en}`} className="caution">
          <HazardIcon />
          <p>
            <strong>{say(`hazard.${caution.hazard}`)}</strong> {of(caution.text)}
          </p>
        </li>
      ))}
    </ul>
  );
}
