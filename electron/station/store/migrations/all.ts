import { evidence } from './0001-evidence.ts';
import type { Migration } from './migration.ts';

/** Every step in order. */
export const migrations: readonly Migration[] = [evidence];
