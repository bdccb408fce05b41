import { accessSync, constants } from 'node:fs';
import { type HidLack, hidLackSentence } from '../../drivers/port/hid-devices.ts';
import type { PortLister } from '../../drivers/port/port-list.ts';
import type { HealthFinding } from './health.ts';

/** Which ports are plugged in, and whether this user may open them. */
export async function checkPorts(listPorts: PortLister): Promise<HealthFinding> {
  const ports = (await listPorts()).map(({ path, identity }) => ({
    path,
    transport: identity.transport,
    usable: mayUse(path),
  }));
  const shut = ports.filter(({ usable }) => !usable).map(({ path }) => path);
  const subject = 'ports';
  const details = { ports };
  if (shut.length > 0) {
    const sentence = `${shut.join(', ')} may not be opened by this user; add the user to the group that owns it (on Linux often dialout) and sign in anew`;
    const values = { ports: shut.join(', ') };
    return { subject, verdict: 'bad', code: 'portsShut', values, sentence, details };
  }
  const names = ports.map(({ path }) => path).join(', ');
  return ports.length === 0
    ? {
        ...{ subject, verdict: 'note', code: 'portsNone', values: {}, details },
        sentence: 'no serial port and no HID scale is plugged in',
      }
    : { subject, verdict: 'good', code: 'portsListed', values: { ports: names }, sentence: names, details };
}

/** Whether HID scales would be found; without them a bench on serial ports works as well. */
export async function checkHid(lackOfHid: () => Promise<HidLack | null>): Promise<HealthFinding> {
  const lack = await lackOfHid();
  const subject = 'HID scales';
  if (lack === null) {
    const sentence = 'would be found when they are plugged in';
    return { subject, verdict: 'good', code: 'hidReady', values: {}, sentence, details: {} };
  }
  const { missing, message } = lack;
  const sentence = hidLackSentence(lack);
  return missing === null
    ? { subject, verdict: 'note', code: 'hidFailed', values: {}, sentence, details: { message } }
    : {
        ...{ subject, verdict: 'note', code: 'hidLibraryMissing', values: missing, sentence },
        details: { ...missing, message },
      };
}

function mayUse(path: string): boolean {
  // Only where ports are files.
  if (!path.startsWith('/')) return true;
  try {
    accessSync(path, constants.R_OK | constants.W_OK);
    return true;
  } catch {
    return false;
  }
}
