import { createListenerSet } from './listener-set.ts';
import {
  compareLists,
  type ListedPort,
  type PortChange,
  type PortLister,
  type PortWatch,
} from './port-list.ts';

/**
 * Looks at the list again and again and tells what arrived and what went. A look that fails changes nothing.
 * The first look counts as arrivals.
 *
 * @param pauseMilliseconds pause between the end of one look and the start of the next
 */
export function watchPorts(list: PortLister, pauseMilliseconds = 1000): PortWatch {
  const changes = createListenerSet<[PortChange]>();
  let ports: readonly ListedPort[] = [];
  let stopped = false;
  let timer: NodeJS.Timeout | undefined;

  async function look(): Promise<void> {
    const seen = await list().catch(() => undefined);
    if (stopped) return;
    if (seen !== undefined) {
      const change = compareLists(ports, seen);
      ports = seen;
      if (change.arrived.length > 0 || change.gone.length > 0) changes.tell(change);
    }
    timer = setTimeout(look, pauseMilliseconds);
  }
  void look();

  return {
    get ports() {
      return ports;
    },
    onChange: (listener) => changes.add(listener),
    stop() {
      stopped = true;
      clearTimeout(timer);
    },
  };
}
