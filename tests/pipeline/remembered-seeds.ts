/** Seeds that failed once, with what they found. */
export const REMEMBERED_SEEDS: readonly { readonly seed: number; readonly found: string }[] = [
  {
    seed: 1118,
    found: 'a snapshot beside a visit of the same time lost the first reading of the day',
  },
  {
    seed: 2093,
    found: 'a base that reached beyond its readings raised an old alarm again with each replay',
  },
];
