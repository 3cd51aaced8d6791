/** What is wrong in a rota, and where. */
export interface Mistake {
  readonly path: readonly PropertyKey[];
  readonly words: string;
}

/** The first mistake that a check finds in a list. */
export function firstOf<Item>(
  items: readonly Item[],
  check: (item: Item, index: number) => Mistake | null,
): Mistake | null {
  for (const [index, item] of items.entries()) {
    const mistake = check(item, index);
    if (mistake !== null) return mistake;
  }
  return null;
}

/** An id that a list has twice. */
export function idTwice(
  items: readonly { readonly id: string }[],
  path: readonly PropertyKey[],
): Mistake | null {
  const seen = new Set<string>();
  return firstOf(items, ({ id }, index) => {
    if (seen.has(id)) {
      const words = `expected an id that is used once, found ${id} again`;
      return { path: [...path, index, 'id'], words };
    }
    seen.add(id);
    return null;
  });
}
