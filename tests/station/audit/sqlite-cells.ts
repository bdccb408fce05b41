import { readFileSync } from 'node:fs';
import { openSqlite } from '../../../electron/station/store/sqlite.ts';

/** A row of a table with the places in the file at which the bytes of each column lie. */
export interface Cell {
  readonly rowid: number;
  readonly columns: ReadonlyMap<string, readonly number[]>;
}

/**
 * Finds where SQLite keeps each value of a table, by the published file format (sqlite.org/fileformat2.html,
 * sections 1.6 B-tree pages and 2.1 record format). The file must hold everything: no WAL beside it.
 */
export function cellsOf(file: string, table: string): Cell[] {
  const database = openSqlite(file, { readonly: true });
  const root = database
    .prepare<[string], number>('SELECT rootpage FROM sqlite_schema WHERE name = ?')
    .pluck()
    .get(table);
  const names = database
    .prepare<[string], string>('SELECT name FROM pragma_table_info(?) ORDER BY cid')
    .pluck()
    .all(table);
  database.close();
  const content = readFileSync(file);
  return [...leafCells(content, root!)].map(({ rowid, places }) => ({
    rowid,
    columns: columnsOf(content, places, names),
  }));
}

function pageSizeOf(content: Buffer): number {
  const size = content.readUInt16BE(16);
  return size === 1 ? 65_536 : size;
}

function* leafCells(content: Buffer, page: number): Generator<{ rowid: number; places: number[] }> {
  const size = pageSizeOf(content);
  const start = (page - 1) * size;
  const header = start + (page === 1 ? 100 : 0);
  const kind = content[header]!;
  const count = content.readUInt16BE(header + 3);
  const pointers = header + (kind === 0x05 || kind === 0x02 ? 12 : 8);
  for (let index = 0; index < count; index++) {
    const at = start + content.readUInt16BE(pointers + index * 2);
    if (kind === 0x05 || kind === 0x02) yield* leafCells(content, content.readUInt32BE(at));
    if (kind === 0x0d) yield tableCell(content, at, size);
    if (kind === 0x0a) {
      const payload = varint(content, at);
      yield {
        rowid: index,
        places: placesOf(content, payload.next, payload.value, size, indexLocal(payload.value, size)),
      };
    }
  }
  if (kind === 0x05 || kind === 0x02) yield* leafCells(content, content.readUInt32BE(header + 8));
}

function tableCell(content: Buffer, at: number, size: number) {
  const payload = varint(content, at);
  const rowid = varint(content, payload.next);
  const places = placesOf(
    content,
    rowid.next,
    payload.value,
    size,
    localSize(payload.value, size, size - 35),
  );
  return { rowid: rowid.value, places };
}

function indexLocal(payload: number, size: number): number {
  return localSize(payload, size, Math.floor(((size - 12) * 64) / 255) - 23);
}

/** How much of a payload stays in the page (file format, 1.6). */
function localSize(payload: number, size: number, largest: number): number {
  if (payload <= largest) return payload;
  const smallest = Math.floor(((size - 12) * 32) / 255) - 23;
  const fitting = smallest + ((payload - smallest) % (size - 4));
  return fitting <= largest ? fitting : smallest;
}

/** Where each byte of a payload lies, through its overflow pages. */
function placesOf(content: Buffer, at: number, payload: number, size: number, local: number): number[] {
  const places = Array.from({ length: local }, (_, index) => at + index);
  let next = payload > local ? content.readUInt32BE(at + local) : 0;
  while (next !== 0) {
    const start = (next - 1) * size;
    for (let index = 4; index < size && places.length < payload; index++) places.push(start + index);
    next = content.readUInt32BE(start);
  }
  return places;
}

function columnsOf(
  content: Buffer,
  places: readonly number[],
  names: readonly string[],
): Map<string, readonly number[]> {
  const header = varint(content, places[0]!);
  const headerSize = header.value;
  const types: number[] = [];
  let at = header.next - places[0]!;
  while (at < headerSize) {
    const type = varint(content, places[at]!);
    types.push(type.value);
    at += type.next - places[at]!;
  }
  const columns = new Map<string, readonly number[]>();
  let offset = headerSize;
  types.forEach((type, index) => {
    const length = lengthOf(type);
    columns.set(names[index]!, places.slice(offset, offset + length));
    offset += length;
  });
  return columns;
}

function lengthOf(type: number): number {
  if (type >= 12) return Math.floor((type - 12) / 2);
  return [0, 1, 2, 3, 4, 6, 8, 8, 0, 0][type] ?? 0;
}

function varint(content: Buffer, at: number): { value: number; next: number } {
  let value = 0;
  for (let index = 0; index < 9; index++) {
    const byte = content[at + index]!;
    value = value * 128 + (byte & 0x7f);
    if (byte < 0x80) return { value, next: at + index + 1 };
  }
  return { value, next: at + 9 };
}
