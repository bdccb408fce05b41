import { useCallback } from 'react';
import type { LiveReading, MeasurementView } from '../../../../shared/contract.ts';
import { VerdictIcon } from '../../../parts/icons.tsx';
import { LastValueAge } from '../../../parts/last-value-age.tsx';
import { decimalsOfLimits, finer } from '../../../parts/limit-decimals.ts';
import { LiveText } from '../../../parts/live-text.tsx';
import { VerdictWord } from '../../../parts/verdict-word.tsx';
import type { ReceivedReading } from '../../../state/live-readings.ts';
import { distanceFromZone, type Verdict } from '../../../state/verdict.ts';
import { unitName } from '../../../wording/unit-name.ts';
import { useLive, useWording } from '../../../workbench.ts';

interface VerdictBoxProperties {
  readonly measurement: MeasurementView;
  readonly instrumentId: string | null;
  readonly verdict: Verdict;
}

const hasMeasured = (reading: LiveReading | null) => reading?.measured != null;

/** The verdict on the live value: shape, word and colour, and how far it is from the zone. */
export function VerdictBox({ measurement, instrumentId, verdict }: VerdictBoxProperties) {
  const { say, fixed } = useWording();
  const judged = !['stale', 'waiting', 'absent', 'pulling'].includes(verdict);
  const write = useCallback(
    (received: ReceivedReading | null) => {
      const distance = judged
        ? distanceFromZone(received?.reading.measured?.value ?? null, measurement.acceptance)
        : null;
      if (distance === null) return '';
      if (distance === 0) return say('measure.inside');
      const unit = unitName(measurement.band.unit);
      const quantity = `${fixed(Math.abs(distance), finer(decimalsOfLimits(measurement.band)))} ${unit}`;
      if (measurement.quantity === 'mass') {
        return say(distance < 0 ? 'measure.add' : 'measure.remove', { quantity });
      }
      return say(distance < 0 ? 'measure.tooLow' : 'measure.tooHigh', { quantity });
    },
    [judged, measurement, say, fixed],
  );
  const hasValue = useLive(instrumentId, hasMeasured);
  return (
    <div className="verdict" data-verdict={verdict} data-testid="verdict">
      <VerdictIcon verdict={verdict} />
      <div>
        <VerdictWord word={say(`verdict.${verdict}`)} />
        <p className="verdict-distance">
          {verdict !== 'stale' ? (
            <LiveText instrumentId={instrumentId} write={write} />
          ) : (
            hasValue && <LastValueAge instrumentId={instrumentId} />
          )}
        </p>
      </div>
    </div>
  );
}
