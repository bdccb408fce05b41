import { flushCompileCache } from 'node:module';

// Started by start-cache.ts: what is loaded here is kept compiled.
await import('../../../electron/station/station.ts');
await import('../../../electron/station/serve-first-run.ts');
await import('./brisk-technician.ts');
flushCompileCache();
