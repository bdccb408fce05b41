import { useCallback } from 'react';
import type { LiveReading } from '../../../../shared/contract.ts';
import type { StepOf } from '../../../../shared/sheet/step.ts';
import { BandGauge } from '../../../parts/band-gauge.tsx';
import { LiveText } from '../../../parts/live-text.tsx';
import { LiveValue } from '../../../parts/live-value.tsx';
import type { ReceivedReading } from '../../../state/live-readings.ts';
import { useVerdict } from '../../../use-verdict.ts';
import { unitName } from '../../../wording/unit-name.ts';
import { useSettings, useSituation, useWording } from '../../../workbench.ts';
import { LiveTrace } from './live-trace.tsx';
import { VerdictBox } from './verdict-box.tsx';

/** The peak of the pull in the sheet's unit; nothing before the first pull. */
function peak(reading: LiveReading): string | null {
  if (reading.pull === null || reading.pull.phase === 'none') return null;
  return reading.measured?.text ?? null;
}

/** Tightening: the peak of the pull in the sheet's unit and in the wrench's own, its course and the gauge. */
export function TorqueStep({ step }: { readonly step: StepOf<'torque'> }) {
  const situation = useSituation();
  const wording = useWording();
  const { say } = wording;
  const { measurement, instrument } = situation;
  const { unitsShown } = useSettings();
  const { verdict, stale } = useVerdict(situation);
  const instrumentId = instrument?.instrumentId ?? null;
  const writeWrench = useCallback(
    (received: ReceivedReading | null) => {
      const pull = received?.reading.pull ?? null;
      if (pull === null || pull.phase === 'none') return '';
      return say('measure.wrenchShows', { quantity: wording.quantity(pull.peakText, pull.peakUnit) });
    },
    [say, wording],
  );
  const writePull = useCallback(
    (received: ReceivedReading | null) => {
      const pull = received?.reading.pull ?? null;
      if (pull === null || pull.phase === 'none') return '';
      const key = pull.phase === 'complete' ? 'measure.finalPull' : 'measure.pullNumber';
      return say(key, { number: pull.number });
    },
    [say],
  );
  if (measurement === null) return null;
  const { inInstrumentUnit: own, instrumentUnit, band } = measurement;
  const isOtherUnit = own !== null && instrumentUnit !== null && instrumentUnit !== band.unit;
  return (
    <div className="measure">
      <div className="measure-value">
        <LiveValue instrumentId={instrumentId} unit={measurement.unit} read={peak} stale={stale} />
        <VerdictBox measurement={measurement} instrumentId={instrumentId} verdict={verdict} />
      </div>
      <div className="measure-course">
        <p className="measure-facts">
          {band.target !== undefined && (
            <strong>
              {say('measure.target', { quantity: wording.quantity(String(band.target), band.unit) })}
            </strong>
          )}
          <LiveText instrumentId={instrumentId} write={writePull} testId="pull" />
        </p>
        {instrumentId !== null && (
          <LiveTrace
            measurement={measurement}
            instrumentId={instrumentId}
            windowSeconds={8}
            label={say('measure.tracePull')}
          />
        )}
        <p className="measure-facts">
          {unitsShown === 'both' && (
            <LiveText instrumentId={instrumentId} write={writeWrench} testId="wrench-value" />
          )}
        </p>
      </div>
      <BandGauge measurement={measurement} verdict={verdict} instrumentId={instrumentId} stale={stale} />
      <p className="measure-text">
        {isOtherUnit && (
          <strong data-testid="wrench-target">
            {say('measure.wrenchTarget', {
              target: `${wording.decimal(own.target)} ${unitName(instrumentUnit)}`,
              lower: wording.decimal(own.lower),
              upper: wording.decimal(own.upper),
            })}
          </strong>
        )}{' '}
        {step.direction !== undefined && say(`measure.direction.${step.direction}`)}{' '}
        {say(`measure.finalPull.${step.finalPull}`)} {step.text !== undefined && wording.of(step.text)}
      </p>
    </div>
  );
}
