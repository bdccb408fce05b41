import { useEffect, useMemo, useRef } from 'react';
import type { MeasurementView } from '../../shared/contract.ts';
import type { Verdict } from '../state/verdict.ts';
import { useWording, useWorkbench } from '../workbench.ts';
import { gaugeScale } from './gauge-scale.ts';
import { decimalsOfLimits, finer, insideText } from './limit-decimals.ts';

interface BandGaugeProperties {
  readonly measurement: MeasurementView;
  readonly verdict: Verdict;
  readonly instrumentId: string | null;
  readonly stale: boolean;
}

/**
 * Our gauge: a channel between the tolerance limits, drawn in by hatched guard bands to the solid acceptance
 * zone, and a plumb that hangs where the value is.
 */
export function BandGauge({ measurement, verdict, instrumentId, stale }: BandGaugeProperties) {
  const { live } = useWorkbench();
  const wording = useWording();
  const plumb = useRef<HTMLDivElement>(null);
  const { band, acceptance } = measurement;
  const lower = band.lower ?? null;
  const upper = band.upper ?? null;
  const target = band.target ?? null;
  const scale = useMemo(() => gaugeScale(lower, upper, target), [lower, upper, target]);
  useEffect(() => {
    const show = () => {
      const value = live.latest(instrumentId)?.reading.measured?.value ?? null;
      const element = plumb.current;
      if (element === null) return;
      element.style.visibility = value === null ? 'hidden' : 'visible';
      if (value !== null) element.style.transform = `translateX(${scale.place(value) * 100}%)`;
    };
    show();
    return instrumentId === null ? undefined : live.subscribe(instrumentId, show);
  }, [live, instrumentId, scale]);
  const decimals = decimalsOfLimits(band);
  const print = (value: number) => wording.quantity(value.toFixed(decimals), band.unit);
  const printInside = (value: number, side: 'lower' | 'upper') =>
    wording.quantity(insideText(value, side, finer(decimals)), band.unit);
  const span = (from: number | null, to: number | null) => {
    const left = from === null ? 0 : scale.place(from);
    const right = to === null ? 1 : scale.place(to);
    return { left: `${left * 100}%`, width: `${Math.max(0, right - left) * 100}%` };
  };
  return (
    <div
      className="gauge"
      data-verdict={verdict}
      data-stale={stale}
      role="img"
      aria-label={wording.say('gauge.description', {
        tolerance: `${lower === null ? '–∞' : print(lower)} … ${upper === null ? '∞' : print(upper)}`,
        acceptance:
          acceptance === null
            ? wording.say('gauge.noZone')
            : `${acceptance.lower === null ? '–∞' : printInside(acceptance.lower, 'lower')} … ${acceptance.upper === null ? '∞' : printInside(acceptance.upper, 'upper')}`,
      })}
    >
      <div className="gauge-lane">
        <div className="gauge-plumb" ref={plumb}>
          <svg viewBox="0 0 40 80" aria-hidden="true">
            <path d="M20 80V34" stroke="currentColor" strokeWidth="4" />
            <path d="M6 2h28v10L20 40 6 12z" fill="currentColor" stroke="var(--sheet)" strokeWidth="2" />
          </svg>
        </div>
      </div>
      <div className="gauge-channel">
        <div className="gauge-tolerance" style={span(lower, upper)} />
        {acceptance !== null && (
          <div className="gauge-acceptance" style={span(acceptance.lower, acceptance.upper)} />
        )}
        {scale.breaks.map((share) => (
          <div key={share} className="gauge-break" style={{ left: `${share * 100}%` }} />
        ))}
        {target !== null && (
          <div className="gauge-target" style={{ left: `${scale.place(target) * 100}%` }} />
        )}
      </div>
      <div className="gauge-labels">
        {lower !== null && (
          <span className="is-before" style={{ right: `${(1 - scale.place(lower)) * 100}%` }}>
            {print(lower)}
          </span>
        )}
        {acceptance?.lower != null && (
          <span className="is-inside" style={{ left: `${scale.place(acceptance.lower) * 100}%` }}>
            {printInside(acceptance.lower, 'lower')}
          </span>
        )}
        {acceptance?.upper != null && (
          <span className="is-inside" style={{ right: `${(1 - scale.place(acceptance.upper)) * 100}%` }}>
            {printInside(acceptance.upper, 'upper')}
          </span>
        )}
        {upper !== null && (
          <span className="is-after" style={{ left: `${scale.place(upper) * 100}%` }}>
            {print(upper)}
          </span>
        )}
      </div>
    </div>
  );
}
