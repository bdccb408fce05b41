import { lookForHidDevices } from '../../drivers/port/hid-devices.ts';
import { createSystemPortLister } from '../../drivers/port/system-ports.ts';
import type { HealthView } from '../../shared/health-view.ts';
import { ok } from '../../shared/result.ts';
import { allowed, type Handlers } from './call-handler.ts';
import { lookAtHealth } from './health-look.ts';
import type { Station } from './station.ts';

/** Looks under way: whoever asks meanwhile gets the same one. */
const looks = new WeakMap<Station, Promise<HealthView>>();

async function look(station: Station): Promise<HealthView> {
  const hid = await lookForHidDevices();
  const ports = await createSystemPortLister(async () => hid)();
  return lookAtHealth(station.dataFolder, station.clock.wallTime(), ports, hid.lack);
}

/** The call behind the health screen. */
export const healthHandlers: Handlers<'health'> = {
  async health(station, screen) {
    const person = allowed(station, screen, 'readHealth');
    if (!person.ok) return person;
    const running = looks.get(station) ?? look(station).finally(() => looks.delete(station));
    looks.set(station, running);
    return ok(await running);
  },
};
