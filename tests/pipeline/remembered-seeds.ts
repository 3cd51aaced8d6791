/** Seeds that failed once, with what they found. */
export const REMEMBERED_SEEDS: readonly { readonly seed: number; readonly found: string }[] = [];
