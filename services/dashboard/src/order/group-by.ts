/** Members under their key, keys and members in the order in which they came. */
export function groupBy<T, K>(items: Iterable<T>, keyOf: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const members = groups.get(key);
    if (members === undefined) groups.set(key, [item]);
    else members.push(item);
  }
  return groups;
}
