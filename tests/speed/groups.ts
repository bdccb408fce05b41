import type { Row } from './row.ts';

/** What the words behind `npm run speed --` ask for. */
export interface SpeedOptions {
  /** A million jobs too. */
  readonly large: boolean;
  /** Minutes of the soak. */
  readonly soakMinutes: number;
}

type Say = (line: string) => void;

/** What is measured, by group. Each group runs in a process of its own, so that none warms the other's code. */
export const groups: Readonly<Record<string, (options: SpeedOptions, say: Say) => Promise<readonly Row[]>>> =
  {
    decode: async () => (await import('./decode.ts')).decodingRows(),
    judge: async () => (await import('./judging.ts')).judgingRows(),
    capture: async () => (await import('./capture.ts')).captureRows(),
    serial: async ({ large }, say) =>
      (await import('./by-serial.ts')).bySerialRows([10_000, 100_000, ...(large ? [1_000_000] : [])], say),
    outbox: async () => (await import('./outbox.ts')).outboxRows(),
    audit: async (_, say) => (await import('./audit.ts')).auditRows(say),
    site: async ({ large }, say) =>
      (await import('./site.ts')).siteRows([100_000, large ? 10_000_000 : 300_000], large ? 120 : 10, say),
    start: async (_, say) => (await import('./window/start.ts')).startRows(say),
    paint: async ({ soakMinutes }, say) => (await import('./window/paint.ts')).paintRows(soakMinutes, say),
  };

/** Run by itself, this is the process of one group: GROUP OPTIONS as JSON; answers with its rows. */
if (import.meta.main) {
  const [name = '', options = '{}'] = process.argv.slice(2);
  const rows = await groups[name]?.(JSON.parse(options), (line) => process.stderr.write(`${line}\n`));
  await new Promise((sent) => process.send?.(rows ?? [], undefined, undefined, sent));
  process.disconnect?.();
}
