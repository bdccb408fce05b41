import bwip from 'bwip-js/node';
import { z } from 'zod';

/** The modules of a 2D code, row by row from the top left; true is dark. */
export interface CodeModules {
  readonly columns: number;
  readonly rows: number;
  isDark(column: number, row: number): boolean;
}

const rawCodeSchema = z
  .array(z.object({ pixs: z.array(z.number()), pixx: z.int().positive(), pixy: z.int().positive() }))
  .min(1);

/**
 * A serial as Data Matrix ECC 200 (ISO/IEC 16022), square, without the quiet zone of one module that must stay
 * free around it. A reader types exactly the serial.
 *
 * @param serial 1 to 60 printable ASCII characters
 */
export function serialCode(serial: string): CodeModules {
  const raw = bwip.raw('datamatrix', serial, 'format=square');
  const [code] = rawCodeSchema.parse(raw);
  if (code === undefined) throw new Error('no code was made');
  const { pixs, pixx, pixy } = code;
  return { columns: pixx, rows: pixy, isDark: (column, row) => pixs[row * pixx + column] === 1 };
}
