import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { setTimeout as wait } from 'node:timers/promises';
import { onTestFinished } from 'vitest';
import { askKeyStore } from '../../../electron/station/system-key-store.ts';

/** A session of its own with a real Secret Service (GNOME Keyring) on a real bus; no screen, so no dialog. */
export interface Session {
  /** Starts the service for an account; the password unlocks what it keeps, without one it stays locked. */
  signIn(account: string, password?: string): Promise<void>;
  /** Ends the service; the bus stays. */
  signOut(): Promise<void>;
  /** The service hears and does not answer. */
  fallSilent(): void;
  /** It answers again, also what was asked meanwhile. */
  speakAgain(): void;
  /** There is no bus at all. */
  leave(): void;
}

/** A bus that starts no programs by itself: neither a service of another account nor a dialog. */
const busConfiguration = `<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN"
  "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig>
  <type>session</type>
  <listen>unix:tmpdir=/tmp</listen>
  <policy context="default">
    <allow send_destination="*" eavesdrop="true"/>
    <allow eavesdrop="true"/>
    <allow own="*"/>
  </policy>
</busconfig>`;

/** Points this process and those that it starts at the session, until the test ends. */
export async function openSession(): Promise<Session> {
  const folder = mkdtempSync(join(tmpdir(), 'bandwright-session-'));
  const address = process.env.DBUS_SESSION_BUS_ADDRESS;
  const { DISPLAY: _, WAYLAND_DISPLAY: __, ...environment } = process.env;
  const configuration = join(folder, 'bus.conf');
  writeFileSync(configuration, busConfiguration);
  const bus = spawn('dbus-daemon', ['--config-file', configuration, '--nofork', '--print-address'], {
    stdio: ['ignore', 'pipe', 'ignore'],
    env: environment,
  });
  process.env.DBUS_SESSION_BUS_ADDRESS = await firstLineOf(bus.stdout);
  let keyring: ChildProcess | undefined;

  async function signOut(): Promise<void> {
    if (keyring !== undefined) await ended(keyring);
    keyring = undefined;
  }

  onTestFinished(async () => {
    await signOut();
    await ended(bus);
    if (address === undefined) delete process.env.DBUS_SESSION_BUS_ADDRESS;
    else process.env.DBUS_SESSION_BUS_ADDRESS = address;
    rmSync(folder, { recursive: true, force: true });
  });

  return {
    signOut,
    async signIn(account, password) {
      const home = join(folder, account);
      mkdirSync(home, { recursive: true, mode: 0o700 });
      const words = password === undefined ? [] : ['--unlock'];
      keyring = spawn('gnome-keyring-daemon', ['--foreground', '--components=secrets', ...words], {
        stdio: ['pipe', 'ignore', 'ignore'],
        env: {
          ...environment,
          HOME: home,
          XDG_DATA_HOME: join(home, 'data'),
          XDG_RUNTIME_DIR: home,
          DBUS_SESSION_BUS_ADDRESS: process.env.DBUS_SESSION_BUS_ADDRESS,
        },
      });
      keyring.stdin?.end(password);
      await untilItAnswers();
    },
    fallSilent: () => {
      keyring?.kill('SIGSTOP');
    },
    speakAgain: () => {
      keyring?.kill('SIGCONT');
    },
    leave() {
      process.env.DBUS_SESSION_BUS_ADDRESS = `unix:path=${join(folder, 'no-bus')}`;
    },
  };
}

function firstLineOf(stream: Readable): Promise<string> {
  return new Promise((resolve, reject) => {
    const lines = createInterface({ input: stream });
    lines.once('line', resolve);
    lines.once('close', () => reject(new Error('dbus-daemon ended; is its package installed?')));
  });
}

async function untilItAnswers(): Promise<void> {
  for (const until = performance.now() + 15_000; ; await wait(20)) {
    const answer = askKeyStore({ action: 'read', name: 'nobody' }, 5000);
    if (answer.kind !== 'shut') return;
    if (performance.now() > until) throw new Error(`no Secret Service: ${answer.reason}`);
  }
}

function ended(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return Promise.resolve();
  child.kill('SIGKILL');
  return new Promise((resolve) => child.once('exit', () => resolve()));
}
