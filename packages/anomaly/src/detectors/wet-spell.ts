import { type FieldGuards, isNumberOrNull } from '../field-guards.ts';

/**
 * How long the compartment has been wet by the strict criterion that alarms go by: ISO 9223's in
 * the air or at the plate, or a liquid film. Wettings as episodes have a wider one of their own.
 */
export interface WetSpell {
  readonly sinceMs: number | null;
  /** Its newest wet reading. */
  readonly wetAtMs: number | null;
  /** When there was last a liquid film, in this spell or before. */
  readonly filmAtMs: number | null;
}

export const WET_SPELL_START: WetSpell = { sinceMs: null, wetAtMs: null, filmAtMs: null };

export const WET_SPELL_FIELDS: FieldGuards<WetSpell> = {
  sinceMs: isNumberOrNull,
  wetAtMs: isNumberOrNull,
  filmAtMs: isNumberOrNull,
};

const MINUTE_MS = 60_000;
const STANDS_AFTER_MS: number = 10 * MINUTE_MS;
/** Dry gaps of less stay within one spell. */
const MERGES_GAPS_MS: number = 60 * MINUTE_MS;

/** Whether it has been wet for ten minutes, the gaps included. */
export function spellStands({ sinceMs, wetAtMs }: WetSpell): boolean {
  return sinceMs !== null && wetAtMs !== null && wetAtMs - sinceMs >= STANDS_AFTER_MS;
}

/** One instant: wet by the strict criterion, and whether by a liquid film. */
export function stepWetSpell(
  spell: WetSpell,
  atMs: number,
  { wet, liquid }: { readonly wet: boolean; readonly liquid: boolean },
): WetSpell {
  const filmAtMs = liquid ? atMs : spell.filmAtMs;
  if (wet) return { sinceMs: spell.sinceMs ?? atMs, wetAtMs: atMs, filmAtMs };
  const goesOn = spellStands(spell) && atMs - (spell.wetAtMs ?? atMs) <= MERGES_GAPS_MS;
  if (goesOn || spell.sinceMs === null) return spell;
  return { sinceMs: null, wetAtMs: null, filmAtMs };
}
