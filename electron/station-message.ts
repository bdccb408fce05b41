import { z } from 'zod';

/** The one thing the station process says to whoever started it: it is ready, and where. */
const readyMessage = z.object({ ready: z.literal(true), url: z.url() });

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

/** The same for a line of text on the station's standard output. */
export function readReadyLine(line: string): string | undefined {
  if (!line.startsWith('{')) return undefined;
  try {
    return readReadyMessage(JSON.parse(line));
  } catch {
    return undefined;
  }
}
