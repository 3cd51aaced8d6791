/** A level remembers this many readings at most: five hours of them. */
export const REMEMBERED_READINGS = 60;
/** A level says something after half an hour. */
export const LEAST_READINGS = 6;
/** From here on wild values are held back, by this many spreads and a share of the level. */
const CLIPPED_FROM_READINGS = 12;
const CLIP_SPREADS = 4;
const CLIP_SHARE = 0.5;
const CLIP_MILLIAMPS = 0.2;

/** How far a reading lies from a level, mA; a wild one no further than is believed. */
export function heldDeviation(
  milliamps: number,
  level: number,
  spread: number,
  readings: number,
): number {
  const deviation = milliamps - level;
  if (readings < CLIPPED_FROM_READINGS) return deviation;
  const most = CLIP_SPREADS * spread + CLIP_SHARE * level + CLIP_MILLIAMPS;
  return Math.min(Math.max(deviation, -most), most);
}

/** Four digits: a level that moves by a sixtieth of its error each time still moves. */
export function precise(value: number): number {
  return value === 0 ? 0 : Number(value.toPrecision(4));
}
