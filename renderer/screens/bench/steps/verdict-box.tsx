import { useCallback } from 'react';
import type { LiveReading, MeasurementView } from '../../../../shared/contract.ts';
import { VerdictIcon } from '../../../parts/icons.tsx';
import { LastValueAge } from '../../../parts/last-value-age.tsx';
import { decimalsOfLimits, finer, missingText } from '../../../parts/limit-decimals.ts';
import { LiveText } from '../../../parts/live-text.tsx';
import { VerdictWord } from '../../../parts/verdict-word.tsx';
import type { ReceivedReading } from '../../../state/live-readings.ts';
import { staleWord } from '../../../state/trouble.ts';
import { distanceFromZone, type Verdict } from '../../../state/verdict.ts';
import { unitName } from '../../../wording/unit-name.ts';
import { useLive, useSituation, useWording } from '../../../workbench.ts';

interface VerdictBoxProperties {
  readonly measurement: MeasurementView;
  readonly instrumentId: string | null;
  readonly verdict: Verdict;
}

const hasMeasured = (reading: LiveReading | null) => reading?.measured != null;

/** The verdict on the live value: shape, word and colour, and how far it is from the zone. */
export function VerdictBox({ measurement, instrumentId, verdict }: VerdictBoxProperties) {
  const { say, decimal } = useWording();
  const situation = useSituation();
  const judged = !['stale', 'waiting', 'absent', 'pulling'].includes(verdict);
  const write = useCallback(
    (received: ReceivedReading | null) => {
      const distance = judged
        ? distanceFromZone(received?.reading.measured?.value ?? null, measurement.acceptance)
        : null;
      if (distance === null) return '';
      if (distance === 0) return say('measure.inside');
      const unit = unitName(measurement.band.unit);
      const missing = missingText(distance, finer(decimalsOfLimits(measurement.band)));
      const quantity = `${decimal(missing)} ${unit}`;
      if (measurement.quantity === 'mass') {
        return say(distance < 0 ? 'measure.add' : 'measure.remove', { quantity });
      }
      return say(distance < 0 ? 'measure.tooLow' : 'measure.tooHigh', { quantity });
    },
    [judged, measurement, say, decimal],
  );
  const hasValue = useLive(instrumentId, hasMeasured);
  return (
    <div className="verdict" data-verdict={verdict} data-testid="verdict">
      <VerdictIcon verdict={verdict} />
      <div>
        <VerdictWord word={say(verdict === 'stale' ? staleWord(situation) : `verdict.${verdict}`)} />
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
