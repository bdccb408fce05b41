import { useEffect, useRef } from 'react';
import type { ReceivedReading } from '../state/live-readings.ts';
import { useWorkbench } from '../workbench.ts';

interface LiveTextProperties {
  readonly instrumentId: string | null;
  /** The text for the newest reading. */
  readonly write: (received: ReceivedReading | null) => string;
  readonly className?: string;
  readonly testId?: string;
}

/**
 * A text that follows the newest reading of an instrument, written straight into the page at most once a frame.
 * Its box has a fixed size by its class, so that no reading moves anything.
 */
export function LiveText({ instrumentId, write, className, testId }: LiveTextProperties) {
  const { live } = useWorkbench();
  const reference = useRef<HTMLSpanElement>(null);
  useEffect(() => {
    const show = () => {
      const text = write(live.latest(instrumentId));
      const element = reference.current;
      if (element !== null && element.textContent !== text) element.textContent = text;
    };
    show();
    return instrumentId === null ? undefined : live.subscribe(instrumentId, show);
  }, [live, instrumentId, write]);
  return <span ref={reference} className={className} data-testid={testId} />;
}
