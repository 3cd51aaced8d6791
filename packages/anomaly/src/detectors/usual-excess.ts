import { type FieldGuard, hasShape, isListOf, isNumber } from '../field-guards.ts';

/**
 * How much more vapour this compartment's air has than the air outside without any water about,
 * by outdoor temperature: building air that comes up a conduit is a standing excess that grows as
 * it gets colder, and so does the offset of two humidity sensors as it gets warmer. Dew that comes
 * at night and goes by day cancels out in such a mean.
 */
export interface UsualExcessBand {
  /** Mean, Pa. */
  readonly pascals: number;
  /** Mean distance from it, Pa: wind, stack and dew that comes and goes. */
  readonly spreadPascals: number;
  /** Time that it was learned over, minutes, up to the time constant. */
  readonly minutes: number;
}

const MINUTE_MS = 60_000;
/** Upper edges of the bands of outdoor temperature, C; the last is open. */
const BAND_EDGES_CELSIUS = [-5, 3, 10, 17] as const;
const BANDS: number = BAND_EDGES_CELSIUS.length + 1;
/** Weeks change it, a wet day must not: two days within the band. */
const TIME_CONSTANT_MINUTES = 2880;
/** Two hours in a band tell more of what is usual there than nothing. */
const LEARNED_MINUTES = 120;

const UNLEARNED: UsualExcessBand = { pascals: 0, spreadPascals: 0, minutes: 0 };
export const USUAL_EXCESS_START: readonly UsualExcessBand[] = new Array<UsualExcessBand>(
  BANDS,
).fill(UNLEARNED);

export const isUsualExcess: FieldGuard = isListOf(
  hasShape<UsualExcessBand>({
    pascals: isNumber,
    spreadPascals: isNumber,
    minutes: isNumber,
  }),
  BANDS,
);

function bandOf(outdoorCelsius: number): number {
  let band = 0;
  while (band < BANDS - 1 && outdoorCelsius > (BAND_EDGES_CELSIUS[band] ?? Infinity)) band += 1;
  return band;
}

/**
 * Takes an excess, Pa. With `waterIsAbout` (rain or melt of the last day) it can only lower what
 * is usual: water that got in adds to an excess and takes nothing from it.
 */
export function stepUsualExcess(
  bands: readonly UsualExcessBand[],
  outdoorCelsius: number,
  pascals: number,
  waterIsAbout: boolean,
  elapsedMs: number,
): readonly UsualExcessBand[] {
  const index = bandOf(outdoorCelsius);
  const before = bands[index] ?? UNLEARNED;
  const lowers = before.minutes >= LEARNED_MINUTES && pascals < before.pascals;
  if (elapsedMs <= 0 || (waterIsAbout && !lowers)) return bands;
  const minutes = Math.min(before.minutes + elapsedMs / MINUTE_MS, TIME_CONSTANT_MINUTES);
  const share = Math.min(elapsedMs / MINUTE_MS / minutes, 1);
  const mean = before.pascals + share * (pascals - before.pascals);
  const distance = Math.abs(pascals - before.pascals);
  const spread = before.spreadPascals + share * (distance - before.spreadPascals);
  const next = bands.slice();
  next[index] = {
    pascals: Math.round(mean * 1000) / 1000,
    spreadPascals: Math.round(spread * 1000) / 1000,
    minutes: waterIsAbout ? before.minutes : Math.round(minutes * 10) / 10,
  };
  return next;
}

/** What is usual at one outdoor temperature. */
export interface UsualExcess {
  /** Pa, never below 0: a sensor that reads low hides water rather than shows it. */
  readonly pascals: number;
  readonly spreadPascals: number;
}

/** Of the band, or the greater of the nearest ones that are learned; null when none is. */
export function usualExcessAt(
  bands: readonly UsualExcessBand[],
  outdoorCelsius: number,
): UsualExcess | null {
  const index = bandOf(outdoorCelsius);
  for (let distance = 0; distance < BANDS; distance += 1) {
    const colder = learned(bands[index - distance]);
    const warmer = learned(bands[index + distance]);
    if (colder === null && warmer === null) continue;
    return {
      pascals: Math.max(colder?.pascals ?? 0, warmer?.pascals ?? 0, 0),
      spreadPascals: Math.max(colder?.spreadPascals ?? 0, warmer?.spreadPascals ?? 0),
    };
  }
  return null;
}

function learned(band: UsualExcessBand | undefined): UsualExcessBand | null {
  return band !== undefined && band.minutes >= LEARNED_MINUTES ? band : null;
}
