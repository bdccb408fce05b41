import { readFile, stat } from 'node:fs/promises';

/** Name of the group that owns a device, for example `dialout`; undefined where that cannot be said. */
export async function nameGroup(path: string): Promise<string | undefined> {
  try {
    const { gid } = await stat(path);
    return findGroupName(await readFile('/etc/group', 'utf8'), gid);
  } catch {
    return undefined;
  }
}

/** Finds a group by its number in the text of `/etc/group`. The super-user's group is no remedy for anybody. */
export function findGroupName(text: string, gid: number): string | undefined {
  if (gid === 0) return undefined;
  for (const line of text.split('\n')) {
    const [name, , number] = line.split(':');
    if (name && number === String(gid)) return name;
  }
  return undefined;
}
