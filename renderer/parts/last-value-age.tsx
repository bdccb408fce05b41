import { useWording } from '../workbench.ts';
import { useAge } from './use-age.ts';

/** How old the value is that is struck out above. */
export function LastValueAge({ instrumentId }: { readonly instrumentId: string | null }) {
  const { say, duration } = useWording();
  const age = useAge(instrumentId);
  if (age === null) return null;
  return <span data-testid="live-age">{say('measure.lastValue', { age: duration(age / 1000) })}</span>;
}
