/** True for two values that are the same plain data (JSON): order of keys and undefined fields don't count. */
export function isSameData(one: unknown, other: unknown): boolean {
  if (Object.is(one, other)) return true;
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null) return false;
  if (Array.isArray(one) !== Array.isArray(other)) return false;
  const mine = new Map(Object.entries(one).filter(([, value]) => value !== undefined));
  const yours = Object.entries(other).filter(([, value]) => value !== undefined);
  return (
    mine.size === yours.length &&
    yours.every(([key, value]) => mine.has(key) && isSameData(mine.get(key), value))
  );
}
