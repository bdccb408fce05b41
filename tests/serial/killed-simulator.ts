import { createPseudoTerminal } from '../../drivers/simulated/pseudo-terminal.ts';

// Says where its pseudo-terminal is, and lives until it is killed.
process.stdout.write(`${createPseudoTerminal('scale').path}\n`);
process.stdin.resume();
