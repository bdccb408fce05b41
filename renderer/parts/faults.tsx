import { codeKey } from '../wording/refusal-sentence.ts';
import { useSituation, useWording } from '../workbench.ts';
import { VerdictIcon } from './icons.tsx';

/** Trouble of the station that everybody must know of: database busy, disk nearly full. */
export function Faults() {
  const { snapshot } = useSituation();
  const { say, timeOfDay } = useWording();
  const faults = (snapshot?.faults ?? []).slice(-2);
  if (faults.length === 0) return null;
  return (
    <section className="faults" aria-label={say('faults.title')} role="alert" data-testid="faults">
      {faults.map((fault) => {
        const key = codeKey(fault.code);
        return (
          <p key={`${fault.code} ${fault.at}`}>
            <VerdictIcon verdict="stale" />
            <span>
              {key === null ? fault.message : say(key)} ({timeOfDay(fault.at)})
            </span>
          </p>
        );
      })}
    </section>
  );
}
