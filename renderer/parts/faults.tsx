import { faultSentence } from '../wording/refusal-sentence.ts';
import { useSituation, useWording } from '../workbench.ts';
import { VerdictIcon } from './icons.tsx';

/** Trouble of the station that everybody must know of: database busy, disk nearly full. */
export function Faults() {
  const { snapshot } = useSituation();
  const wording = useWording();
  const faults = (snapshot?.faults ?? []).slice(-2);
  if (faults.length === 0) return null;
  return (
    <section className="faults" aria-label={wording.say('faults.title')} role="alert" data-testid="faults">
      {faults.map((fault) => {
        return (
          <p key={`${fault.code} ${fault.at}`}>
            <VerdictIcon verdict="stale" />
            <span>
              {faultSentence(fault, wording)} ({wording.timeOfDay(fault.at)})
            </span>
          </p>
        );
      })}
    </section>
  );
}
