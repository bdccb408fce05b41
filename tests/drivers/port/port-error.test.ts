import { describe, expect, test } from 'vitest';
import { findGroupName } from '../../../drivers/port/device-group.ts';
import { parseLockHolder } from '../../../drivers/port/device-lock.ts';
import { classifyOpenError } from '../../../drivers/port/port-error.ts';

// Texts as @serialport/bindings-cpp 13.0.0 writes them (src/serialport_unix.cpp, src/serialport_win.cpp), with
// strerror(3) of glibc and macOS. The first four lines of Linux were also seen on pseudo-terminals and /dev.
const texts: readonly [platform: string, text: string, kind: string][] = [
  ['linux', 'Error Resource temporarily unavailable Cannot lock port', 'busy'],
  ['linux', 'Error: No such file or directory, cannot open /dev/ttyUSB0', 'missing'],
  ['linux', 'Error: Permission denied, cannot open /dev/ttyUSB0', 'denied'],
  ['linux', 'Invalid parity setting 3', 'failed'],
  ['linux', 'Error Device or resource busy Cannot open /dev/ttyUSB0', 'busy'],
  ['linux', 'Error: Operation not permitted, cannot open /dev/ttyUSB0', 'denied'],
  ['linux', 'Error: No such device or address, cannot open /dev/ttyUSB0', 'missing'],
  ['linux', 'Error: Input/output error, cannot open /dev/ttyS3', 'missing'],
  ['linux', 'Error baud rate of 9601 is not supported on your platform', 'failed'],
  ['darwin', 'Error: Resource busy, cannot open /dev/tty.usbserial', 'busy'],
  ['darwin', 'Error: Device not configured, cannot open /dev/tty.usbserial', 'missing'],
  ['win32', 'Opening COM7: File not found', 'missing'],
  ['win32', 'Opening COM7: Access denied', 'busy'],
  ['win32', 'Open (SetCommState): Unknown error code 31', 'failed'],
  ['win32', 'Open (SetCommState): The parameter is incorrect', 'failed'],
];

describe('what an error of opening a port means', () => {
  test.each(texts)('%s: "%s" is %s', (platform, text, kind) => {
    expect(classifyOpenError(text, { path: 'PORT', platform }).kind).toBe(kind);
  });

  test('permission denied comes with the group to join', () => {
    const text = 'Error: Permission denied, cannot open /dev/ttyUSB0';
    expect(classifyOpenError(text, { path: '/dev/ttyUSB0', platform: 'linux', group: 'uucp' })).toMatchObject(
      {
        message: 'This user may not open /dev/ttyUSB0.',
        remedy: expect.stringContaining('usermod -aG uucp'),
      },
    );
    expect(classifyOpenError(text, { path: '/dev/ttyUSB0', platform: 'linux' })).toMatchObject({
      remedy: expect.stringContaining('dialout'),
    });
  });

  test('every other failure keeps the words of the system', () => {
    expect(classifyOpenError('Error: Something odd', { path: 'COM3', platform: 'win32' })).toEqual({
      kind: 'failed',
      message: 'COM3 cannot be opened: Something odd.',
    });
  });
});

describe('the group that owns a device', () => {
  const groups = 'root:x:0:\ntty:x:5:\ndialout:x:20:anna,ben\n';
  test('is found by its number', () => expect(findGroupName(groups, 20)).toBe('dialout'));
  test('is not named when it is the super-user or unknown', () => {
    expect(findGroupName(groups, 0)).toBeUndefined();
    expect(findGroupName(groups, 99)).toBeUndefined();
  });
});

describe('the holder of a lock', () => {
  // Lines as in proc_locks(5).
  const locks = [
    '1: POSIX  ADVISORY  READ 5433 08:01:7864448 128 128',
    '2: FLOCK  ADVISORY  WRITE 2001 00:05:411 0 EOF',
    '2: -> FLOCK  ADVISORY  WRITE 2002 00:05:411 0 EOF',
    '3: FLOCK  ADVISORY  WRITE 1568 00:2f:32388 0 EOF',
  ].join('\n');
  test('is the process of the flock line with this device and inode', () => {
    expect(parseLockHolder(locks, 0x05, 411)).toBe(2001);
    expect(parseLockHolder(locks, 0x2f, 32388)).toBe(1568);
  });
  test('is nobody for another file, or for locks of another kind', () => {
    expect(parseLockHolder(locks, 0x05, 412)).toBeUndefined();
    expect(parseLockHolder(locks, 0x0801, 7864448)).toBeUndefined();
  });
});
