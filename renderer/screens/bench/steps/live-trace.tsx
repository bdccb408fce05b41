import { useMemo } from 'react';
import type { MeasurementView } from '../../../../shared/contract.ts';
import { Trace } from '../../../parts/trace.tsx';
import { useWorkbench } from '../../../workbench.ts';

interface LiveTraceProperties {
  readonly measurement: MeasurementView;
  readonly instrumentId: string;
  readonly windowSeconds: number;
  readonly label: string;
}

/** The course of the value in hand, beginning anew with each step. */
export function LiveTrace({ measurement, instrumentId, windowSeconds, label }: LiveTraceProperties) {
  const { live } = useWorkbench();
  const { band, acceptance } = measurement;
  const source = useMemo(
    () => ({
      points: () => live.course(instrumentId),
      subscribe: (listener: () => void) => live.subscribe(instrumentId, listener),
    }),
    [live, instrumentId],
  );
  const { lower = null, upper = null } = band;
  const tolerance = useMemo(() => ({ lower, upper }), [lower, upper]);
  return (
    <Trace
      source={source}
      tolerance={tolerance}
      acceptance={acceptance}
      windowSeconds={windowSeconds}
      label={label}
    />
  );
}
