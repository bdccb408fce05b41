import { type FileHandle, open } from 'node:fs/promises';
import { promisify } from 'node:util';
import { crc32, inflateRaw } from 'node:zlib';

const inflate = promisify(inflateRaw);

// Signatures and field offsets: PKWARE APPNOTE 6.3.10, sections 4.3.7, 4.3.12 and 4.3.16.
const endOfCentralDirectory = 0x06054b50;
const centralHeader = 0x02014b50;
const localHeaderBytes = 30;
const centralHeaderBytes = 46;
const endRecordBytes = 22;
const storedMethod = 0;
const deflatedMethod = 8;

/** One file or folder (its name ends with `/`) of a zip archive. */
export interface ZipEntry {
  readonly name: string;
  /** Unix permission bits, 0 where the archive names none. */
  readonly mode: number;
  read(): Promise<Buffer>;
}

/**
 * Hands every entry that `wanted` accepts to `take`, in the order of the archive; the others are never read.
 * (extract-zip cannot leave entries out; for an archive of 25 820 entries of which 60 are wanted that is 21 s
 * instead of 5 s.) No Zip64: archives below 4 GiB and 65 536 entries.
 *
 * @throws Error when the file is not such an archive or an entry's checksum differs.
 */
export async function readZip(
  file: string,
  wanted: (name: string) => boolean,
  take: (entry: ZipEntry) => Promise<void>,
): Promise<void> {
  const archive = await open(file);
  try {
    for (const entry of await readDirectory(archive)) if (wanted(entry.name)) await take(entry);
  } finally {
    await archive.close();
  }
}

async function readDirectory(archive: FileHandle): Promise<ZipEntry[]> {
  const { size } = await archive.stat();
  const tailBytes = Math.min(size, endRecordBytes + 0xffff);
  const tail = await readAt(archive, size - tailBytes, tailBytes);
  let end = tail.length - endRecordBytes;
  while (end >= 0 && tail.readUInt32LE(end) !== endOfCentralDirectory) end -= 1;
  if (end < 0) throw new Error('not a zip archive: no end of central directory');
  const directory = await readAt(archive, tail.readUInt32LE(end + 16), tail.readUInt32LE(end + 12));
  const entries: ZipEntry[] = [];
  for (let offset = 0; offset < directory.length; ) {
    if (directory.readUInt32LE(offset) !== centralHeader) throw new Error('damaged zip central directory');
    const nameBytes = directory.readUInt16LE(offset + 28);
    const nameStart = offset + centralHeaderBytes;
    const header = directory.subarray(offset, nameStart);
    const name = directory.toString('utf8', nameStart, nameStart + nameBytes);
    entries.push({
      name,
      mode: (header.readUInt32LE(38) >>> 16) & 0o777,
      read: () => readEntry(archive, name, header),
    });
    offset = nameStart + nameBytes + header.readUInt16LE(30) + header.readUInt16LE(32);
  }
  return entries;
}

async function readEntry(archive: FileHandle, name: string, header: Buffer): Promise<Buffer> {
  const local = await readAt(archive, header.readUInt32LE(42), localHeaderBytes);
  const start = header.readUInt32LE(42) + localHeaderBytes + local.readUInt16LE(26) + local.readUInt16LE(28);
  const packed = await readAt(archive, start, header.readUInt32LE(20));
  const method = header.readUInt16LE(10);
  if (method !== storedMethod && method !== deflatedMethod) {
    throw new Error(`${name}: zip compression method ${method} is not known`);
  }
  const content = method === storedMethod ? packed : await inflate(packed);
  if (crc32(content) !== header.readUInt32LE(16)) throw new Error(`${name}: zip checksum differs`);
  return content;
}

async function readAt(archive: FileHandle, position: number, length: number): Promise<Buffer> {
  const buffer = Buffer.alloc(length);
  const { bytesRead } = await archive.read(buffer, 0, length, position);
  if (bytesRead !== length) throw new Error('the zip archive is cut short');
  return buffer;
}
