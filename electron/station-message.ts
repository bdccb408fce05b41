import { z } from 'zod';

/** What the station process says to whoever started it: that it is ready, and where. */
const readyMessage = z.object({ ready: z.literal(true), url: z.url() });

/** Before: that it waits for the system's key store, by the name that the system gives it. */
const keyStoreMessage = z.object({ waitsFor: z.literal('key store'), name: z.string().min(1).max(60) });

/** Instead: that it cannot start, by a code and by what a sentence about it names. */
const faultMessage = z.object({
  failed: z.string().min(1).max(40),
  values: z.record(z.string().max(40), z.union([z.string().max(200), z.number()])),
});

/** Why a station does not start, where the data folder, its disk or its key are at fault. */
export interface StationFault {
  readonly code: string;
  readonly values: Readonly<Record<string, string | number>>;
}

/**
 * The address out of the station's ready message, undefined for anything else. Only an address on this machine's
 * loopback counts: no message can send the window elsewhere.
 */
export function readReadyMessage(message: unknown): string | undefined {
  const parsed = readyMessage.safeParse(message);
  if (!parsed.success) return undefined;
  const address = new URL(parsed.data.url);
  const isLoopback = address.protocol === 'http:' && address.hostname === '127.0.0.1' && address.port !== '';
  return isLoopback ? address.href : undefined;
}

/** The name of the key store that the station waits for, undefined for any other message. */
export function readKeyStoreMessage(message: unknown): string | undefined {
  return keyStoreMessage.safeParse(message).data?.name;
}

/** Why the station cannot start, undefined for any other message. */
export function readFaultMessage(message: unknown): StationFault | undefined {
  const { data } = faultMessage.safeParse(message);
  return data === undefined ? undefined : { code: data.failed, values: data.values };
}

/** A message as a line of text on the station's standard output; undefined for a line that is none. */
export function messageOfLine(line: string): unknown {
  if (!line.startsWith('{')) return undefined;
  try {
    return JSON.parse(line);
  } catch {
    return undefined;
  }
}
