import { createReadStream, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';

const block = 512;

interface Entry {
  readonly path: string;
  readonly name: string;
  readonly size: number;
  readonly modifiedAt: number;
}

/** The files of a folder and of the folders in it as one tar archive (POSIX.1-1988 ustar; sizes from 8 GiB in base 256 as GNU tar has it). */
export interface TarOfFolder {
  /** Of the whole archive. */
  readonly bytes: number;
  chunks(): AsyncGenerator<Buffer>;
}

/** @param prefix the folder's name in the archive */
export function tarOfFolder(folder: string, prefix: string): TarOfFolder {
  const entries = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .sort()
    .flatMap((file): Entry[] => {
      const path = join(folder, file);
      const entry = statSync(path);
      if (!entry.isFile()) return [];
      const name = `${prefix}/${file.replaceAll('\\', '/')}`;
      return [{ path, name, size: entry.size, modifiedAt: Math.floor(entry.mtimeMs / 1000) }];
    });
  const bytes = entries.reduce((sum, { size }) => sum + block + size + padding(size), 2 * block);
  return {
    bytes,
    async *chunks() {
      for (const entry of entries) {
        yield headerOf(entry);
        // No more than its size when it was looked at: a header must not lie.
        if (entry.size > 0) yield* createReadStream(entry.path, { end: entry.size - 1 });
        yield Buffer.alloc(padding(entry.size));
      }
      yield Buffer.alloc(2 * block);
    },
  };
}

function padding(size: number): number {
  return (block - (size % block)) % block;
}

function headerOf({ name, size, modifiedAt }: Entry): Buffer {
  const [folder, file] = splitName(name);
  const header = Buffer.alloc(block);
  header.write(file, 0);
  header.write(folder, 345);
  header.write('0000644\0', 100);
  header.write('0000000\0', 108);
  header.write('0000000\0', 116);
  writeSize(header, size);
  header.write(`${modifiedAt.toString(8).padStart(11, '0')}\0`, 136);
  // The sum is taken with blanks in its own place.
  header.write('        ', 148);
  header.write('0', 156);
  header.write('ustar\x0000', 257);
  const sum = header.reduce((total, byte) => total + byte, 0);
  header.write(`${sum.toString(8).padStart(6, '0')}\0 `, 148);
  return header;
}

/** A name that is too long for its own field has its folder in another one. */
function splitName(name: string): readonly [folder: string, file: string] {
  if (Buffer.byteLength(name) <= 100) return ['', name];
  const at = name.lastIndexOf('/');
  const [folder, file] = [name.slice(0, Math.max(0, at)), name.slice(at + 1)];
  if (Buffer.byteLength(folder) > 155 || Buffer.byteLength(file) > 100)
    throw new RangeError(`"${name}" is too long a name for tar`);
  return [folder, file];
}

function writeSize(header: Buffer, size: number): void {
  if (size < 8 ** 11) {
    header.write(`${size.toString(8).padStart(11, '0')}\0`, 124);
    return;
  }
  header[124] = 0x80;
  header.writeBigUInt64BE(BigInt(size), 128);
}
