import { useCallback } from 'react';
import type { LiveReading } from '../shared/contract.ts';
import { useAge } from './parts/use-age.ts';
import type { Situation } from './state/situation.ts';
import { isStale } from './state/trouble.ts';
import { distanceFromZone, type Verdict, verdictOf } from './state/verdict.ts';
import { useLive } from './workbench.ts';

/** The verdict on the live value of the measured step in hand; drawn anew only when it changes. */
export function useVerdict(situation: Situation): {
  readonly verdict: Verdict;
  readonly above: boolean;
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
  const above = useLive(
    instrumentId,
    useCallback(
      (reading: LiveReading | null) =>
        (distanceFromZone(reading?.measured?.value ?? null, measurement?.acceptance ?? null) ?? 0) > 0,
      [measurement],
    ),
  );
  return { verdict: stale && instrument !== null ? 'stale' : verdict, above, stale };
}
