import type { CodeModules } from '../../../electron/station/documents/serial-code.ts';

/**
 * Codewords of a Data Matrix symbol of one region, read with the placement of ISO/IEC 16022, annex F (written from
 * memory, independently of the library that draws the symbol).
 */
export function readCodewords(code: CodeModules): readonly number[] {
  const rows = code.rows - 2;
  const columns = code.columns - 2;
  const taken = new Set<string>();
  const read = (row: number, column: number): number => {
    let [r, c] = [row, column];
    if (r < 0) {
      r += rows;
      c += 4 - ((rows + 4) % 8);
    }
    if (c < 0) {
      c += columns;
      r += 4 - ((columns + 4) % 8);
    }
    taken.add(`${r},${c}`);
    return code.isDark(c + 1, r + 1) ? 1 : 0;
  };
  const word = (places: readonly (readonly [number, number])[]): number =>
    places.reduce((bits, [row, column]) => bits * 2 + read(row, column), 0);
  const shape = [
    [-2, -2],
    [-2, -1],
    [-1, -2],
    [-1, -1],
    [-1, 0],
    [0, -2],
    [0, -1],
    [0, 0],
  ] as const;
  const utah = (row: number, column: number) =>
    word(shape.map(([down, right]) => [row + down, column + right] as const));
  const corner = [
    [rows - 1, 0],
    [rows - 1, 1],
    [rows - 1, 2],
    [0, columns - 2],
    [0, columns - 1],
    [1, columns - 1],
    [2, columns - 1],
    [3, columns - 1],
  ] as const;

  const codewords: number[] = [];
  let row = 4;
  let column = 0;
  do {
    if (row === rows && column === 0) codewords.push(word(corner));
    do {
      if (row < rows && column >= 0 && !taken.has(`${row},${column}`)) codewords.push(utah(row, column));
      row -= 2;
      column += 2;
    } while (row >= 0 && column < columns);
    row += 1;
    column += 3;
    do {
      if (row >= 0 && column < columns && !taken.has(`${row},${column}`)) codewords.push(utah(row, column));
      row += 2;
      column -= 2;
    } while (row < rows && column >= 0);
    row += 3;
    column += 1;
  } while (row < rows || column < columns);
  return codewords;
}
