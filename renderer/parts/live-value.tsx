import { useCallback } from 'react';
import type { LiveReading } from '../../shared/contract.ts';
import type { Unit } from '../../shared/quantity/unit.ts';
import type { ReceivedReading } from '../state/live-readings.ts';
import { unitName } from '../wording/unit-name.ts';
import { useLive, useWording } from '../workbench.ts';
import { LiveText } from './live-text.tsx';

interface LiveValueProperties {
  readonly instrumentId: string | null;
  readonly unit: Unit;
  /** The value to show; null shows dashes. */
  readonly read: (reading: LiveReading) => string | null;
  readonly stale: boolean;
}

/** The live value, about 20 mm high. A value that is no longer current is struck out; its age stands below it. */
export function LiveValue({ instrumentId, unit, read, stale }: LiveValueProperties) {
  const { decimal } = useWording();
  const write = useCallback(
    (received: ReceivedReading | null) => {
      const text = received === null ? null : read(received.reading);
      return text === null ? '– –' : decimal(text);
    },
    [read, decimal],
  );
  const length = useLive(
    instrumentId,
    useCallback(
      (reading: LiveReading | null) => (reading === null ? 0 : (read(reading)?.length ?? 0)),
      [read],
    ),
  );
  return (
    <div
      className={`live-value${stale ? ' is-stale' : ''}${length === 0 ? ' is-blank' : ''}`}
      style={{ ['--digits' as string]: length }}
    >
      <div className="live-row">
        <LiveText instrumentId={instrumentId} write={write} className="live-digits" testId="live-value" />
        <span className="live-unit">{unitName(unit)}</span>
      </div>
    </div>
  );
}
