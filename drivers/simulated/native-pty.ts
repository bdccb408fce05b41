import { createRequire } from 'node:module';
import { z } from 'zod';

const pairSchema = z.object({
  master: z.int().nonnegative(),
  slave: z.int().nonnegative(),
  pty: z.string().min(1),
});
/** Two ends of a pseudo-terminal as file descriptors, and the path of the slave. */
export type TerminalPair = z.infer<typeof pairSchema>;

const nativeSchema = z.object({
  open: z.custom<(columns: number, rows: number) => unknown>((value) => typeof value === 'function'),
});

/**
 * Opens a pseudo-terminal by the native part of `@lydell/node-pty` alone. Never use the package's public `open()`:
 * its `destroy()` signals every process of the machine. Loaded when first needed: a bench without simulated
 * instruments does not need it.
 *
 * Throws when this platform has none; ask `hasPseudoTerminals()` first.
 */
export function openTerminalPair(): TerminalPair {
  const native = loadNative();
  if (native === undefined)
    throw new Error('This platform has no pseudo-terminals for simulated instruments.');
  return pairSchema.parse(native.open(80, 25));
}

/** Whether simulated instruments can speak through pseudo-terminals here. */
export function hasPseudoTerminals(): boolean {
  return loadNative() !== undefined;
}

let loaded: { native: z.infer<typeof nativeSchema> | undefined } | undefined;

function loadNative(): z.infer<typeof nativeSchema> | undefined {
  loaded ??= { native: requireNative() };
  return loaded.native;
}

function requireNative(): z.infer<typeof nativeSchema> | undefined {
  if (process.platform !== 'linux' || process.arch !== 'x64') return undefined;
  try {
    const require = createRequire(import.meta.url);
    return nativeSchema.parse(require('@lydell/node-pty-linux-x64/pty.node'));
  } catch {
    return undefined;
  }
}
