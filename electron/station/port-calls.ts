import { lookForHidDevices } from '../../drivers/port/hid-devices.ts';
import { createSystemPortLister } from '../../drivers/port/system-ports.ts';
import { ok, refuse } from '../../shared/result.ts';
import { allowed, type Handlers } from './call-handler.ts';

const listPorts = createSystemPortLister();

/** The calls that show ports and what comes over them. */
export const portHandlers: Handlers<
  'ports' | 'instrumentLines' | 'teach' | 'teachListen' | 'teachStop' | 'teachConfirm' | 'teachSave'
> = {
  async ports(station, screen) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    const hid = await lookForHidDevices();
    const ports = station.bench.portViews(await createSystemPortLister(async () => hid)());
    const { lack } = hid;
    const hidLack = lack === null ? null : { missing: lack.missing };
    return ok({ ports, profiles: station.bench.profileViews(), hidLack });
  },

  instrumentLines(station, screen, { instrumentId }) {
    const person = allowed(station, screen, 'readAudit');
    if (!person.ok) return person;
    const running = station.bench.running(instrumentId);
    return running === undefined
      ? refuse('no_such_instrument', 'instrumentId', 'This instrument is not connected; choose another.')
      : ok({ lines: [...running.recent.lines()] });
  },

  teach(station, screen) {
    const person = allowed(station, screen, 'registerInstrument');
    return person.ok ? ok(station.teach.view()) : person;
  },

  async teachListen(station, screen, { portId, baud, format }) {
    const person = allowed(station, screen, 'registerInstrument');
    if (!person.ok) return person;
    const ports = station.bench.portViews(await listPorts());
    return station.teach.listen(
      ports.find((port) => port.portId === portId),
      baud,
      format,
    );
  },

  async teachStop(station, screen) {
    const person = allowed(station, screen, 'registerInstrument');
    if (!person.ok) return person;
    await station.teach.stop();
    return ok(null);
  },

  teachConfirm(station, screen, { heardBytes, ...display }) {
    const person = allowed(station, screen, 'registerInstrument');
    return person.ok ? station.teach.confirm(display, heardBytes) : person;
  },

  async teachSave(station, screen, about) {
    const person = allowed(station, screen, 'registerInstrument');
    return person.ok ? station.teach.save(about, person.value.personId) : person;
  },
};
