import { keyName } from '../wording/key-name.ts';
import { useWording } from '../workbench.ts';

/** A key as it is printed on the keyboard of that language. */
export function KeyCap({ name }: { readonly name: string }) {
  return <kbd className="key">{keyName(name, useWording().language)}</kbd>;
}
