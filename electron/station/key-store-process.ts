import { readFileSync } from 'node:fs';
import { askKeyStoreHere } from './key-store-entry.ts';

// Started by system-key-store.ts: the request comes on standard input, the answer goes to standard output.
process.stdout.write(JSON.stringify(askKeyStoreHere(JSON.parse(readFileSync(0, 'utf8')))));
