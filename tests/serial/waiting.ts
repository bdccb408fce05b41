import type { BytePort, PortState } from '../../drivers/port/byte-port.ts';

/** Resolves once the condition holds; rejects with the question after the limit. */
export async function until(question: string, holds: () => boolean, limitMilliseconds = 8000): Promise<void> {
  const end = performance.now() + limitMilliseconds;
  while (!holds()) {
    if (performance.now() > end) throw new Error(`still waiting: ${question}`);
    await pause(5);
  }
}

export function pause(milliseconds: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, milliseconds));
}

export function untilState(port: BytePort, kind: PortState['kind']): Promise<void> {
  return until(`the port to be ${kind}, it is ${port.state.kind}`, () => port.state.kind === kind);
}

/** Everything that comes over a port, as text. */
export function collectText(port: BytePort): { text(): string } {
  const chunks: Uint8Array[] = [];
  port.onBytes((chunk) => chunks.push(chunk));
  return { text: () => Buffer.concat(chunks).toString('latin1') };
}

export function bytesOf(text: string): Uint8Array {
  return Buffer.from(text, 'latin1');
}
