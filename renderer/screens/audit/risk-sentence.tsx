import type { ProcessStudy } from '../../../shared/statistics/process-study.ts';
import { roughText } from '../../wording/wording.ts';
import { useWording } from '../../workbench.ts';

/** How often the rule lets pass what does not conform, and turns away what does, for this process. */
export function RiskSentence({ study }: { readonly study: ProcessStudy }) {
  const { say, percent, quantity } = useWording();
  const { risk, specification, unit } = study;
  if (specification === null) return null;
  return (
    <div className="risk" data-testid="risk">
      <h3>{say('audit.risk.title')}</h3>
      {risk === null ? (
        <p>{say('audit.risk.none')}</p>
      ) : (
        <>
          <dl className="facts">
            <div>
              <dt>{say('audit.risk.consumer')}</dt>
              <dd className="figures">{percent(risk.consumer)}</dd>
            </div>
            <div>
              <dt>{say('audit.risk.producer')}</dt>
              <dd className="figures">{percent(risk.producer)}</dd>
            </div>
            <div>
              <dt>{say('audit.risk.conforming')}</dt>
              <dd className="figures">{percent(risk.conforming)}</dd>
            </div>
          </dl>
          <p className="quiet">
            {say('audit.risk.from', {
              u: quantity(roughText(risk.standardUncertainty, 2), unit),
              s: quantity(roughText(risk.standardDeviation, 2), unit),
            })}
          </p>
        </>
      )}
    </div>
  );
}
