import type { ListedPort } from '../../../drivers/port/port-list.ts';
import { BadInput, type Command } from './command.ts';

/** The ports that an instrument may be plugged into. */
export const portsCommand: Command = {
  name: 'ports',
  summary: 'List the serial ports and HID scales of this computer with what tells each from the others',
  usage: '[--json]',
  help: `
Opens nothing: a running instrument is not disturbed.

  --json   one list: [{"path","knownBy","isScale","identity":{"transport","path","vendorId","productId",
           "serialNumber","byId","byPath"},"manufacturer","product"}]; what is not known is left out

knownBy  serial number, device (the only one of its kind), socket, or path where nothing else tells it

Exit: 0 done, 2 bad input.
`,
  options: {},
  async run({ positionals, json, print, say }) {
    if (positionals.length > 0) throw new BadInput(`ports: takes no "${positionals[0]}"; see --help`);
    const { createSystemPortLister } = await import('../../../drivers/port/system-ports.ts');
    const { hidLackSentence, lookForHidDevices } = await import('../../../drivers/port/hid-devices.ts');
    const hid = await lookForHidDevices();
    const ports = await createSystemPortLister(async () => hid)();
    if (hid.lack !== null) say(`ports: ${hidLackSentence(hid.lack)}`);
    if (json) await print(JSON.stringify(ports));
    else if (ports.length === 0) say('ports: there is none; plug the instrument in');
    else await print(ports.map(printedPort).join('\n'));
    return 0;
  },
};

function printedPort({ path, knownBy, isScale, identity, manufacturer, product }: ListedPort): string {
  const device = [manufacturer, product].filter((part) => part !== undefined).join(' ');
  const number = identity.serialNumber === undefined ? '' : `serial number ${identity.serialNumber}`;
  const kind = isScale ? 'HID scale' : identity.transport;
  return [path, kind, device, number, `known by its ${knownBy}`].filter((part) => part !== '').join('  ');
}
