import type { HidLackView } from '../../shared/teach-view.ts';
import type { ChoiceText } from './situation.ts';

/** Why no HID scale is among the ports, and what to do. */
export function hidLackText({ missing }: HidLackView): ChoiceText {
  return missing === null
    ? { key: 'port.hidLack' }
    : { key: 'port.hidLackLibrary', parameters: { library: missing.library, package: missing.package } };
}
