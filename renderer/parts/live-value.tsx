import { useCallback } from 'react';
import type { Unit } from '../../shared/quantity/unit.ts';
import type { ReceivedReading } from '../state/live-readings.ts';
import { unitName } from '../wording/unit-name.ts';
import { useWording } from '../workbench.ts';
import { LiveText } from './live-text.tsx';

interface LiveValueProperties {
  readonly instrumentId: string | null;
  readonly unit: Unit;
  /** The value to show; null shows dashes. */
  readonly read: (received: ReceivedReading | null) => string | null;
  readonly stale: boolean;
}

/** The live value, about 20 mm high. A value that is no longer current is struck out; its age stands below it. */
export function LiveValue({ instrumentId, unit, read, stale }: LiveValueProperties) {
  const { decimal } = useWording();
  const write = useCallback(
    (received: ReceivedReading | null) => {
      const text = read(received);
      return text === null ? '– –' : decimal(text);
    },
    [read, decimal],
  );
  return (
    <div className={stale ? 'live-value is-stale' : 'live-value'}>
      <div className="live-row">
        <LiveText instrumentId={instrumentId} write={write} className="live-digits" testId="live-value" />
        <span className="live-unit">{unitName(unit)}</span>
      </div>
    </div>
  );
}
