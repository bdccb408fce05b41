import { enableCompileCache } from 'node:module';
import { join } from 'node:path';

// From source, every program and every thread would strip the same types again. Children and threads inherit this.
process.env.NODE_COMPILE_CACHE ??= join(import.meta.dirname, '../../node_modules/.cache/compiled');
enableCompileCache(process.env.NODE_COMPILE_CACHE);
