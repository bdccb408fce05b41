import { afterEach, describe, expect, test } from 'vitest';
import type { BytePort } from '../../../drivers/port/byte-port.ts';
import { createSystemClock } from '../../../drivers/port/clock.ts';
import { createInProcessLine } from '../../../drivers/port/in-process-port.ts';
import { monitorPort, showBytes } from '../../../drivers/port/port-monitor.ts';
import { bytesOf, pause, untilState } from '../../serial/waiting.ts';

const settings = { baud: 9600, data_bits: 8, parity: 'none', stop_bits: 1 } as const;
const opened: BytePort[] = [];
afterEach(async () => {
  for (const port of opened.splice(0)) await port.close();
});

async function start(name: string) {
  const line = createInProcessLine(name);
  const clock = createSystemClock();
  const port = line.createPort(settings, clock);
  opened.push(port);
  const monitor = monitorPort(port, clock);
  port.open();
  await untilState(port, 'open');
  await pause(1);
  return { line, port, monitor, shown: () => monitor.lines.map((line) => `${line.kind} ${line.text}`) };
}

describe('the port monitor', () => {
  test('shows whole lines, whatever the pieces they come in', async () => {
    const { line, shown } = await start('pieces');
    for (const piece of ['ST,', 'GS,+   24.8', '6 g\r', '\nUS,GS,+   24.9', '0 g\r\nA\n\nB\n']) {
      line.send(bytesOf(piece));
    }
    await pause(5);
    expect(shown().slice(2)).toEqual([
      'line ST,GS,+   24.86 g\\r\\n',
      'line US,GS,+   24.90 g\\r\\n',
      'line A\\n',
      'line B\\n',
    ]);
  });

  test('a half line before a lost port is never glued to what comes after', async () => {
    const { line, port, shown } = await start('glue');
    line.send(bytesOf('2.2'));
    line.unplug();
    line.replug();
    await untilState(port, 'open');
    line.send(bytesOf('33 kg\r\n'));
    await pause(5);
    expect(shown().slice(2)).toEqual(['cut 2.2', 'note lost', 'note open', 'line 33 kg\\r\\n']);
  });

  test('a line without end is shown in pieces and never held whole', async () => {
    const { line, monitor } = await start('endless');
    for (let sent = 0; sent < 1000; sent += 1) line.send(bytesOf('0'.repeat(1000)));
    line.send(bytesOf('\nshort\n'));
    await pause(10);
    expect(monitor.lines).toHaveLength(200);
    expect(Math.max(...monitor.lines.map((entry) => entry.text.length))).toBeLessThanOrEqual(258);
    expect(monitor.lines.at(-1)?.text).toBe('short\\n');
  });

  test('bytes beyond printable ASCII stay what they are', () => {
    expect(showBytes(Uint8Array.of(0x02, 0x33, 0xb0, 0x0d, 0x0a, 0x09, 0x5c))).toBe(
      '\\x023\\xb0\\r\\n\\t\\\\',
    );
  });
});
