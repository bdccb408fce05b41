/** What is being read: an object with the names that it has had, or a list. */
interface Container {
  readonly names: Set<string> | null;
  name: string;
  index: number;
  /** The next text is a name. */
  atName: boolean;
}

/**
 * The path of the first name that stands twice in one object of a JSON text, like `reading.value`; null where there
 * is none. Of two the last one would silently win, and only the writer knows which is meant (RFC 7493, 2.3). The
 * text must be JSON. Without recursion, so that no depth of nesting matters.
 */
export function findRepeatedName(text: string): string | null {
  const open: Container[] = [];
  for (const [token] of text.matchAll(/"(?:[^"\\]|\\.)*"|[{}[\],]/g)) {
    const inside = open.at(-1);
    if (token === '{') open.push({ names: new Set(), name: '', index: 0, atName: true });
    else if (token === '[') open.push({ names: null, name: '', index: 0, atName: false });
    else if (token === '}' || token === ']') open.pop();
    else if (inside === undefined) continue;
    else if (token === ',') {
      inside.index += 1;
      inside.atName = inside.names !== null;
    } else if (inside.atName) {
      inside.name = String(JSON.parse(token));
      inside.atName = false;
      if (inside.names?.has(inside.name)) return pathOf(open);
      inside.names?.add(inside.name);
    }
  }
  return null;
}

function pathOf(open: readonly Container[]): string {
  return open
    .map(({ names, name, index }) => (names === null ? `[${index}]` : `.${name}`))
    .join('')
    .replace(/^\./, '');
}
