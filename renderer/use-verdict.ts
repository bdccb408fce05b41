import { useCallback } from 'react';
import type { LiveReading } from '../shared/contract.ts';
import { useAge } from './parts/use-age.ts';
import type { Situation } from './state/situation.ts';
import { isStale } from './state/trouble.ts';
import { type Side, sideOfZone, type Verdict, verdictOf } from './state/verdict.ts';
import { useLive } from './workbench.ts';

/** The verdict on the live value of the measured step in hand; drawn anew only when it changes. */
export function useVerdict(situation: Situation): {
  readonly verdict: Verdict;
  readonly side: Side;
  readonly stale: boolean;
} {
  const { measurement, instrument } = situation;
  const instrumentId = instrument?.instrumentId ?? null;
  const stale = isStale(situation, useAge(instrumentId));
  const verdict = useLive(
    instrumentId,
    useCallback(
      (reading: LiveReading | null) =>
        measurement === null ? 'waiting' : verdictOf(reading, measurement, stale),
      [measurement, stale],
    ),
  );
  const side = useLive(
    instrumentId,
    useCallback(
      (reading: LiveReading | null) =>
        sideOfZone(reading?.measured?.value ?? null, measurement?.acceptance ?? null),
      [measurement],
    ),
  );
  return { verdict: stale && instrument !== null ? 'stale' : verdict, side, stale };
}
