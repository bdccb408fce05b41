import { useState } from 'react';
import type { Judgement } from '../../shared/acceptance/judgement.ts';
import type { DecisionRule } from '../../shared/acceptance/rule.ts';
import { unitName } from '../wording/unit-name.ts';
import { roughText, type Wording } from '../wording/wording.ts';
import { useSituation, useWording, useWorkbench } from '../workbench.ts';
import { VerdictIcon } from './icons.tsx';
import { decimalsOfLimits, insideText } from './limit-decimals.ts';
import { PageDialog } from './page-dialog.tsx';
import { ProbabilityPicture } from './probability-picture.tsx';

/** Two significant digits are enough for an uncertainty (JCGM 100:2008, 7.2.6). */
export const uncertaintyDigits = 2;

/** What is judged at this moment: the live value, else the newest capture of the step. Frozen at opening. */
function useJudged() {
  const { live } = useWorkbench();
  const { measurement, stepState } = useSituation();
  const [judged] = useState(() => {
    const reading = live.latest(measurement?.instrumentId ?? null)?.reading;
    if (reading?.measured != null && reading.judgement !== null) {
      return {
        value: reading.measured.value,
        text: reading.measured.text,
        decision: reading.judgement.decision,
        conformance: reading.judgement.conformance,
      };
    }
    const judgement: Judgement | undefined = stepState?.attempts.at(-1)?.capture?.judgement;
    if (judgement === undefined) return null;
    const { value, decision, conformance } = judgement;
    return { value, text: stepState?.attempts.at(-1)?.capture?.measured.text ?? null, decision, conformance };
  });
  return judged;
}

/** Why the judgement in hand is what it is. */
export function WhyDialog() {
  const { measurement } = useSituation();
  const wording = useWording();
  const { say } = wording;
  const judged = useJudged();
  if (measurement === null) return null;
  const { band, acceptance, expandedUncertainty, coverageFactor } = measurement;
  const tolerance = { lower: band.lower ?? null, upper: band.upper ?? null };
  const decimals = decimalsOfLimits(band) + 1;
  const unit = unitName(band.unit);
  const print = (value: number) => wording.fixed(value, decimals);
  const printInside = (value: number, side: 'lower' | 'upper') =>
    wording.decimal(insideText(value, side, decimals));
  const conformance = judged === null ? '' : wording.percent(judged.conformance);
  return (
    <PageDialog title={say('why.title')} wide>
      <div data-testid="why">
        {judged === null ? (
          <p>{say('why.nothing')}</p>
        ) : (
          <>
            <p className={`why-decision is-${judged.decision.replace(' ', '-')}`}>
              <VerdictIcon verdict={judged.decision} />
              <span>
                <strong>{say(`verdict.${judged.decision}`)}</strong> {say(`why.sentence.${judged.decision}`)}
              </span>
            </p>
            {expandedUncertainty !== null && (
              <ProbabilityPicture
                value={judged.value}
                standardUncertainty={expandedUncertainty / (coverageFactor ?? 2)}
                tolerance={tolerance}
                acceptance={acceptance}
                unit={unit}
                print={print}
                description={say('why.picture', { conformance })}
              />
            )}
            <p>{say('why.picture', { conformance })}</p>
          </>
        )}
        <dl className="facts">
          {judged !== null && (
            <Fact
              name={say('why.value')}
              value={`${judged.text === null ? print(judged.value) : wording.decimal(judged.text)} ${unit}`}
            />
          )}
          <Fact name={say('why.tolerance')} value={`${range(tolerance, print)} ${unit}`} />
          <Fact
            name={say('why.acceptance')}
            value={acceptance === null ? say('gauge.noZone') : `${range(acceptance, printInside)} ${unit}`}
          />
          {expandedUncertainty !== null && (
            <Fact
              name={say('why.uncertainty', { k: wording.fixed(coverageFactor ?? 2, 2) })}
              value={`± ${wording.decimal(roughText(expandedUncertainty, uncertaintyDigits))} ${unit}`}
            />
          )}
          <Fact name={say('why.rule')} value={ruleText(measurement.rule, wording)} />
          {judged !== null && <Fact name={say('why.conformance')} value={conformance} />}
        </dl>
        <p className="small">{say('why.source', { source: measurement.rule.source })}</p>
      </div>
    </PageDialog>
  );
}

function Fact({ name, value }: { readonly name: string; readonly value: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{value}</dd>
    </div>
  );
}

function range(
  limits: { readonly lower: number | null; readonly upper: number | null },
  print: (value: number, side: 'lower' | 'upper') => string,
): string {
  const lower = limits.lower === null ? '−∞' : print(limits.lower, 'lower');
  return `${lower} … ${limits.upper === null ? '∞' : print(limits.upper, 'upper')}`;
}

/** A decision rule in words. */
export function ruleText(rule: DecisionRule, wording: Wording): string {
  switch (rule.kind) {
    case 'simple':
      return wording.say('why.rule.simple');
    case 'guarded':
      return wording.say('why.rule.guarded', { factor: wording.decimal(String(rule.factor)) });
    case 'conformance':
      return wording.say('why.rule.conformance', { probability: wording.percent(rule.probability) });
  }
}
