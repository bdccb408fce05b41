import type { SerialSettings } from '../../drivers/port/serial-settings.ts';
import type { CharacterFormat } from '../../shared/teach-view.ts';

const parities = { N: 'none', E: 'even', O: 'odd' } as const;

/** Settings of a port from its baud rate and the usual short form of the rest: `7E1`. */
export function settingsOf(baud: number, format: CharacterFormat): SerialSettings {
  const letter = format[1] === 'E' ? 'E' : format[1] === 'O' ? 'O' : 'N';
  return {
    baud,
    data_bits: format[0] === '7' ? 7 : 8,
    parity: parities[letter],
    stop_bits: format[2] === '2' ? 2 : 1,
  };
}
