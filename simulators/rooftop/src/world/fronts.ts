import { clamp } from './drift.ts';
import { type RandomStream, randomStream } from './random.ts';

/**
 * Fronts that pass one after the other: warm damp air arrives by a warm front, a cold front ends
 * it, and a calm clear high follows. Temperature, humidity, wind, pressure, cloud and rain change
 * together. Shapes and times are common practice of forecasting, no source.
 */
export interface FrontHabit {
  /** Mean time from one cold front to the next, hours; at least 48. */
  readonly everyHours: number;
  /** How much colder the air behind an ordinary cold front is than the air ahead of it, K. */
  readonly dropKelvin: number;
  /** How much further its dew point falls, K. */
  readonly dryingKelvin: number;
  /** Water that an ordinary passage brings, mm. */
  readonly wetMm: number;
  /** 0: fronts are as strong in summer as in winter; 1: none is left in midsummer. */
  readonly winterShare: number;
}

/** What fronts add to the weather of a moment. */
export interface FrontalAir {
  readonly airKelvin: number;
  /** Added to the distance between air temperature and dew point. */
  readonly depressionKelvin: number;
  /** Clockwise from the climate's wind. */
  readonly windTurnDegrees: number;
  readonly windFactor: number;
  readonly pressurePascals: number;
  readonly wetMmPerHour: number;
  /** -1 swept clear, 1 overcast. */
  readonly cloudPush: number;
}

export const NO_FRONT: FrontalAir = {
  airKelvin: 0,
  depressionKelvin: 0,
  windTurnDegrees: 0,
  windFactor: 1,
  pressurePascals: 0,
  wetMmPerHour: 0,
  cloudPush: 0,
};

const HOUR_MS = 3_600_000;
/** A front must have gone before the next one's warm air comes. */
const SHORTEST_GAP_HOURS = 36;
const WARM_ARRIVAL_HOURS = 5;
const COLD_PASSAGE_HOURS = 1;
const COLD_FADES_HOURS = 24;
/** The warm front's rain is a quarter of the water, over so long; the cold front's the rest. */
const WARM_RAIN_SHARE = 0.25;
const COLD_RAIN_BEGINS_HOURS = -1;
const COLD_RAIN_HOURS = 2.5;
/** Less than this dries up on its way down. */
const LIGHTEST_MM_PER_HOUR = 0.1;
const TURN_DEGREES = 50;
const TROUGH_PASCALS = 1000;
const HIGH_PASCALS = 800;

interface Passage {
  readonly atMs: number;
  /** How long before the cold front the warm air arrives, hours. */
  readonly warmHours: number;
  /** 1 for an ordinary one. */
  readonly strength: number;
}

/** The fronts of one place, to be asked by rising time. */
export class FrontTrain {
  private readonly habit: FrontHabit;
  private readonly random: RandomStream;
  /** Behind a cold front the wind has turned to the right in the north, to the left in the south. */
  private readonly turn: number;
  private last: Passage;
  private next: Passage;

  constructor(seed: number, site: string, habit: FrontHabit, isSouth: boolean, startMs: number) {
    this.habit = habit;
    this.random = randomStream(seed, `${site}/weather/fronts`);
    this.turn = isSouth ? -1 : 1;
    this.last = this.passageAfter(startMs - SHORTEST_GAP_HOURS * HOUR_MS * 2);
    this.next = this.passageAfter(this.last.atMs);
  }

  /** @param season 1 at midsummer, -1 in midwinter. */
  at(atMs: number, season: number): FrontalAir {
    while ((atMs - this.next.atMs) / HOUR_MS >= COLD_PASSAGE_HOURS) {
      this.last = this.next;
      this.next = this.passageAfter(this.last.atMs);
    }
    const { habit, last, next } = this;
    const seasonal = 1 - (habit.winterShare * (1 + season)) / 2;
    const toNext = (atMs - next.atMs) / HOUR_MS;
    const sinceLast = (atMs - last.atMs) / HOUR_MS;
    const arrived = smooth((toNext + next.warmHours) / WARM_ARRIVAL_HOURS);
    const passed = smooth(toNext / COLD_PASSAGE_HOURS);
    const warm = seasonal * next.strength * arrived * (1 - passed);
    const fading = Math.exp(-Math.max(0, sinceLast - COLD_PASSAGE_HOURS) / COLD_FADES_HOURS);
    const cold = seasonal * (next.strength * passed + last.strength * fading * (1 - arrived));
    const falling = clamp(1 + toNext / next.warmHours, 0, 1);
    const calm = cold * smooth((sinceLast - 6) / 8) * (1 - arrived);
    const squall = seasonal * Math.exp(-((Math.min(Math.abs(toNext), sinceLast) / 3) ** 2));
    return {
      airKelvin: habit.dropKelvin * (0.45 * warm - 0.55 * cold),
      depressionKelvin: habit.dryingKelvin * 0.5 * (cold - warm),
      windTurnDegrees: this.turn * TURN_DEGREES * (Math.min(1, cold) - Math.min(1, warm)),
      windFactor: (1 + 0.7 * squall) * (1 - 0.55 * Math.min(1, calm)),
      pressurePascals: HIGH_PASCALS * cold - TROUGH_PASCALS * warm * falling,
      wetMmPerHour: reachingGround(
        seasonal * (this.wetOf(next, toNext) + this.wetOf(last, sinceLast)),
      ),
      cloudPush: clamp(warm - calm, -1, 1),
    };
  }

  private wetOf({ strength, warmHours }: Passage, hours: number): number {
    const water = this.habit.wetMm * strength;
    const warmRain = (WARM_RAIN_SHARE * water) / WARM_ARRIVAL_HOURS;
    const intoWarm = hours + warmHours;
    if (intoWarm >= 0 && intoWarm < WARM_ARRIVAL_HOURS) return warmRain;
    const into = (hours - COLD_RAIN_BEGINS_HOURS) / COLD_RAIN_HOURS;
    if (into < 0 || into >= 1) return 0;
    // A triangle: heaviest in the middle of the band.
    return (((1 - WARM_RAIN_SHARE) * water) / COLD_RAIN_HOURS) * 2 * (1 - Math.abs(2 * into - 1));
  }

  private passageAfter(atMs: number): Passage {
    const { random, habit } = this;
    const more = -Math.log(1 - random.uniform()) * (habit.everyHours - SHORTEST_GAP_HOURS);
    return {
      atMs: atMs + (SHORTEST_GAP_HOURS + more) * HOUR_MS,
      warmHours: random.between(12, 26),
      strength: clamp(Math.exp(0.35 * random.gauss()), 0.4, 1.8),
    };
  }
}

function reachingGround(mmPerHour: number): number {
  return mmPerHour < LIGHTEST_MM_PER_HOUR ? 0 : mmPerHour;
}

/** 0 up to 0, 1 from 1 on, without corners. */
function smooth(share: number): number {
  const inside = clamp(share, 0, 1);
  return inside * inside * (3 - 2 * inside);
}
