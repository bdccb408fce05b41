import { useCallback } from 'react';
import type { LiveReading } from '../../../../shared/contract.ts';
import type { StepOf } from '../../../../shared/sheet/step.ts';
import { isTareDue } from '../../../actions/take-tare.ts';
import { BandGauge } from '../../../parts/band-gauge.tsx';
import { LiveText } from '../../../parts/live-text.tsx';
import { LiveValue } from '../../../parts/live-value.tsx';
import { SheetPicture } from '../../../parts/sheet-picture.tsx';
import type { ReceivedReading } from '../../../state/live-readings.ts';
import { verdictOf } from '../../../state/verdict.ts';
import { useVerdict } from '../../../use-verdict.ts';
import { useSettings, useSituation, useWording } from '../../../workbench.ts';
import { LiveTrace } from './live-trace.tsx';
import { SettledBox } from './settled-box.tsx';
import { VerdictBox } from './verdict-box.tsx';

const netMass = (reading: LiveReading) => reading.measured?.text ?? null;
const shownMass = (reading: LiveReading) => reading.indication.text;

/** The fill: live mass, verdict, course and gauge; before it the weighing of the empty dish. */
export function MassStep({ step }: { readonly step: StepOf<'mass'> }) {
  const situation = useSituation();
  const wording = useWording();
  const { say } = wording;
  const { measurement, instrument } = situation;
  const { unitsShown } = useSettings();
  const { verdict, stale } = useVerdict(situation);
  const instrumentId = instrument?.instrumentId ?? null;
  const tareDue = isTareDue(situation);
  const writeRate = useCallback(
    (received: ReceivedReading | null) => {
      const dispensing = received?.reading.dispensing ?? null;
      if (received === null || measurement === null) return '';
      // Once it lies still and is judged, nothing flows: what is left of the rate is that of a second before.
      if (!['short', 'unsettled'].includes(verdictOf(received.reading, measurement, stale))) return '';
      if (dispensing === null || Math.abs(dispensing.gramsPerSecond) < 0.05) return '';
      const rate = say('measure.rate', { rate: wording.fixed(dispensing.gramsPerSecond, 2) });
      if (dispensing.secondsToTarget === null) return rate;
      return `${rate} · ${say('measure.timeToTarget', { time: wording.duration(dispensing.secondsToTarget) })}`;
    },
    [say, wording, measurement, stale],
  );
  const writeShown = useCallback(
    (received: ReceivedReading | null) => {
      const indication = received?.reading.indication;
      if (indication === undefined) return '';
      return say('measure.scaleShows', { quantity: wording.quantity(indication.text, indication.unit) });
    },
    [say, wording],
  );
  if (measurement === null) return null;
  const { tare, band } = measurement;
  return (
    <div className="measure" data-tare-due={tareDue}>
      <div className="measure-value">
        <LiveValue
          instrumentId={instrumentId}
          unit={tareDue ? (measurement.instrumentUnit ?? measurement.unit) : measurement.unit}
          read={tareDue ? shownMass : netMass}
          stale={stale}
        />
        {tareDue ? (
          <SettledBox instrumentId={instrumentId} stale={stale} />
        ) : (
          <VerdictBox measurement={measurement} instrumentId={instrumentId} verdict={verdict} />
        )}
      </div>
      <div className="measure-course">
        <p className="measure-facts">
          {band.target !== undefined && (
            <strong>
              {say('measure.target', { quantity: wording.quantity(String(band.target), band.unit) })}
            </strong>
          )}
          <LiveText instrumentId={instrumentId} write={writeRate} testId="rate" />
        </p>
        {tareDue && <SheetPicture picture={step.picture} />}
        {instrumentId !== null && !tareDue && (
          <LiveTrace
            measurement={measurement}
            instrumentId={instrumentId}
            windowSeconds={30}
            label={say('measure.traceMass')}
          />
        )}
        <p className="measure-facts is-small">
          {tare !== null && (
            <span>{say('measure.emptyDish', { quantity: wording.quantity(tare.text, tare.unit) })}</span>
          )}
          {unitsShown === 'both' && <LiveText instrumentId={instrumentId} write={writeShown} />}
        </p>
      </div>
      {!tareDue && (
        <BandGauge measurement={measurement} verdict={verdict} instrumentId={instrumentId} stale={stale} />
      )}
      {step.text !== undefined && <p className="measure-text">{wording.of(step.text)}</p>}
    </div>
  );
}
