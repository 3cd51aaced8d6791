/**
 * Seeded random numbers in named streams. Each subject (a site's wind, a unit's humidity sensor)
 * draws from its own stream, so that one more draw in one place shifts nothing elsewhere.
 */
export interface RandomStream {
  /** Even over [0, 1). */
  uniform(): number;
  /** Even over [low, high). */
  between(low: number, high: number): number;
  /** Normal, mean 0, standard deviation 1. */
  gauss(): number;
  /** A count with the given mean, at least 0. */
  poisson(mean: number): number;
}

/** Rounds that mix the seed into every bit before the first draw; the algorithm's author's figure. */
const WARM_UP_ROUNDS = 15;

/** Above this mean a count is drawn from the normal distribution, which is close enough there. */
const LARGEST_EXACT_POISSON_MEAN = 30;

/**
 * The stream with this name. Source: sfc32 by C. Doty-Humphrey (PractRand, public domain), seeded by
 * FNV-1a over `seed` and `name`; both from memory.
 */
export function randomStream(seed: number, name: string): RandomStream {
  const next = sfc32(`${seed}/${name}`);
  let spare = Number.NaN;

  function gauss(): number {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const x = 2 * next() - 1;
      const y = 2 * next() - 1;
      const square = x * x + y * y;
      if (square > 0 && square < 1) {
        const scale = Math.sqrt((-2 * Math.log(square)) / square);
        spare = y * scale;
        return x * scale;
      }
    }
  }

  function poisson(mean: number): number {
    if (mean <= 0) return 0;
    if (mean > LARGEST_EXACT_POISSON_MEAN) {
      return Math.max(0, Math.round(mean + Math.sqrt(mean) * gauss()));
    }
    const limit = Math.exp(-mean);
    let count = 0;
    for (let product = next(); product > limit; product *= next()) count += 1;
    return count;
  }

  return { uniform: next, between: (low, high) => low + (high - low) * next(), gauss, poisson };
}

function sfc32(text: string): () => number {
  let a = fnv1a(text, 0x811c9dc5);
  let b = fnv1a(text, 0x9e3779b9);
  let c = fnv1a(text, 0x85ebca6b);
  let counter = 1;
  const next = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    return (sum >>> 0) / 4294967296;
  };
  for (let round = 0; round < WARM_UP_ROUNDS; round += 1) next();
  return next;
}

function fnv1a(text: string, basis: number): number {
  let hash = basis;
  for (let index = 0; index < text.length; index += 1) {
    hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193);
  }
  return hash;
}
