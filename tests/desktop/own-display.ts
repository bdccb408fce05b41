import { ownDisplays } from './displays.ts';

// Before each file: the display of the worker that runs it. Only one file at a time has a worker's number.
const own = ownDisplays(process.env)[Number(process.env.VITEST_POOL_ID) - 1];
if (own !== undefined) process.env.DISPLAY = own;
