import { createSystemPortLister } from '../../drivers/port/system-ports.ts';
import { ok, refuse } from '../../shared/result.ts';
import { allowed, type Handlers } from './call-handler.ts';

const listPorts = createSystemPortLister();

/** The calls that show ports and what comes over them. */
export const portHandlers: Handlers<'ports' | 'instrumentLines'> = {
  async ports(station, screen) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    return ok({ ports: station.bench.portViews(await listPorts()), profiles: station.bench.profileViews() });
  },

  instrumentLines(station, screen, { instrumentId }) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    const running = station.bench.running(instrumentId);
    return running === undefined
      ? refuse('no_such_instrument', 'instrumentId', 'This instrument is not connected; choose another.')
      : ok({ lines: [...running.recent.lines()] });
  },
};
