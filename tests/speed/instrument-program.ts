// A program of its own that plays instruments on pseudo-terminals, so that the reader's figures are the reader's.
import { createPseudoTerminal } from '../../drivers/simulated/pseudo-terminal.ts';

export type Order =
  | { readonly do: 'plug'; readonly count: number }
  | { readonly do: 'stream'; readonly linesPerSecond: number; readonly seconds: number }
  | { readonly do: 'pour'; readonly text: string; readonly bytes: number; readonly bytesPerSecond: number };

export type Answer =
  | { readonly did: 'plug'; readonly paths: readonly string[] }
  | { readonly did: 'stream'; readonly sent: readonly number[]; readonly cut: number }
  | { readonly did: 'pour'; readonly sent: number; readonly seconds: number };

/** Line number `n` of a stream, as a comma-header scale writes it: the value is the number. */
export function numberedLine(n: number): string {
  return `ST,GS,+${n.toFixed(2).padStart(8)} g\r\n`;
}

const lines: ReturnType<typeof createPseudoTerminal>[] = [];

function tell(answer: Answer): void {
  process.send?.(answer);
}

function stream(linesPerSecond: number, seconds: number): void {
  const sent = lines.map(() => 0);
  let cut = 0;
  const startedAt = performance.now();
  const timer = setInterval(() => {
    const passed = Math.min(seconds, (performance.now() - startedAt) / 1000);
    for (const [index, line] of lines.entries()) {
      while ((sent[index] ?? 0) < Math.floor(passed * linesPerSecond)) {
        const n = (sent[index] ?? 0) + 1;
        const bytes = Buffer.from(numberedLine(n), 'latin1');
        if (line.send(bytes) < bytes.length) cut += 1;
        sent[index] = n;
      }
    }
    if (passed < seconds) return;
    clearInterval(timer);
    tell({ did: 'stream', sent, cut });
  }, 1000 / linesPerSecond);
}

function pour(text: string, bytes: number, bytesPerSecond: number): void {
  const [line] = lines;
  const block = Buffer.alloc(Math.ceil(4096 / text.length) * text.length, text, 'latin1');
  const startedAt = performance.now();
  let sent = 0;
  const step = () => {
    const due = Math.min(bytes, ((performance.now() - startedAt) * bytesPerSecond) / 1000);
    while (sent < due) {
      // Goes on where the line stopped taking bytes, so that no line of the flood is cut.
      const from = sent % text.length;
      const taken = line?.send(block.subarray(from, from + Math.min(block.length - from, bytes - sent))) ?? 0;
      if (taken === 0) break;
      sent += taken;
    }
    if (sent < bytes) setTimeout(step, 1);
    else tell({ did: 'pour', sent, seconds: (performance.now() - startedAt) / 1000 });
  };
  step();
}

process.on('message', (order: Order) => {
  switch (order.do) {
    case 'plug':
      for (let index = 0; index < order.count; index += 1) lines.push(createPseudoTerminal(`scale-${index}`));
      tell({ did: 'plug', paths: lines.map((line) => line.path) });
      return;
    case 'stream':
      stream(order.linesPerSecond, order.seconds);
      return;
    case 'pour':
      pour(order.text, order.bytes, order.bytesPerSecond);
      return;
  }
});
process.on('disconnect', () => {
  for (const line of lines) line.dispose();
  process.exit(0);
});
