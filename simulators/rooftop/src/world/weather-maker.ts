import { saturationOverWaterPascals } from '@lineside/physics';
import type { Climate, Monsoon, StormStage } from './climate.ts';
import { clamp, Drift } from './drift.ts';
import { type FrontalAir, FrontTrain, NO_FRONT } from './fronts.ts';
import type { HourlyReport } from './hourly-report.ts';
import { type RandomStream, randomStream } from './random.ts';
import { type StormShare, stormAt } from './storm.ts';
import { sineOfSunHeight, sunClock } from './sun.ts';
import {
  skyCelsiusAt,
  snowShareAt,
  sunWattsAt,
  WEATHER_STEP_MS,
  type Weather,
  type WeatherSource,
} from './weather.ts';

export interface WeatherPlace {
  readonly site: string;
  readonly latitudeDegrees: number;
  readonly longitudeDegrees: number;
  readonly climate: Climate;
  readonly storms: readonly StormStage[];
  readonly nowMs: number;
  readonly seasonDayAtNow: number;
  /** Weather of a real station instead of the climate's; absent: the climate's. */
  readonly recorded?: readonly HourlyReport[] | undefined;
}

const STEP_SECONDS = WEATHER_STEP_MS / 1000;
const HOUR_SECONDS = 3600;
const DAYS_PER_YEAR = 365.25;
/** Middle of January: the coldest time of the year comes about a month after the solstice. */
const COLDEST_DAY = 18;
/** How long a rain or snow fall lasts on average. */
const WET_SPELL_SECONDS = 5 * HOUR_SECONDS;

/** One site's weather, a minute a step. Fronts, humidity, wind and showers wander on their own. */
export class WeatherMaker implements WeatherSource {
  private readonly seed: number;
  private readonly place: WeatherPlace;
  private readonly front: Drift;
  private readonly warmth: Drift;
  private readonly flicker: Drift;
  private readonly dampness: Drift;
  private readonly breeze: Drift;
  private readonly gust: Drift;
  private readonly veer: Drift;
  private readonly shower: Drift;
  private readonly spells: RandomStream;
  private wet = false;
  private surfaceDepression = 0;
  private fronts: FrontTrain | null = null;

  constructor(seed: number, place: WeatherPlace) {
    this.seed = seed;
    const drift = (what: string, hours: number): Drift =>
      new Drift(randomStream(seed, `${place.site}/weather/${what}`), hours * HOUR_SECONDS, 1);
    this.place = place;
    this.front = drift('front', 30);
    this.warmth = drift('warmth', 40);
    this.flicker = drift('flicker', 0.4);
    this.dampness = drift('dampness', 22);
    this.breeze = drift('breeze', 4);
    this.gust = drift('gust', 0.05);
    this.veer = drift('veer', 12);
    this.shower = drift('shower', 0.5);
    this.spells = randomStream(seed, `${place.site}/weather/spells`);
  }

  /** Steps on by a minute; to be asked minute after minute. */
  at(atMs: number): Weather {
    const { place } = this;
    const { climate } = place;
    const storm = stormAt(place.storms, atMs);
    const front = this.front.step(STEP_SECONDS);
    const clock = sunClock(atMs, place.longitudeDegrees, place.nowMs, place.seasonDayAtNow);
    const sunHeight = sineOfSunHeight(clock, place.latitudeDegrees);
    const winter = Math.cos((2 * Math.PI * (clock.dayOfYear - COLDEST_DAY)) / DAYS_PER_YEAR);
    const season = place.latitudeDegrees < 0 ? winter : -winter;
    const frontal = this.frontalAir(atMs, season);
    const wetMm =
      (this.stepWet(front, season) + frontal.wetMmPerHour / 60) * (1 - storm.share) +
      storm.wetMmPerHour / 60;
    const cloudShare = this.cloud(front, frontal, wetMm);
    const mean =
      climate.yearMeanCelsius +
      climate.seasonKelvin * season +
      climate.frontKelvin * this.warmth.step(STEP_SECONDS) +
      frontal.airKelvin;
    const day = climate.dayKelvin * (1 - 0.75 * cloudShare) * dayCurve(clock.solarHour);
    const ordinary = mean + day + 0.12 * this.flicker.step(STEP_SECONDS);
    const dry = ordinary + storm.share * (storm.celsius + 0.3 * day - ordinary);

    const shift = frontal.depressionKelvin - monsoonKelvin(climate.monsoon, season);
    const depression = this.depression(wetMm, shift, storm);
    const dewPoint = mean + storm.share * (storm.celsius - mean) - depression;
    // Fog holds the air near its dew point: cooling below it only makes more droplets.
    const celsius = dry < dewPoint ? dewPoint + 0.25 * (dry - dewPoint) : dry;
    const saturation = saturationOverWaterPascals(celsius);
    const vapourPascals = Math.min(saturation, saturationOverWaterPascals(dewPoint));
    const snowShare = snowShareAt(celsius);
    return {
      atMs,
      celsius,
      vapourPascals,
      humidityPercent: clamp((100 * vapourPascals) / saturation, 0, 100),
      ...this.wind(front, frontal, storm, cloudShare, sunHeight),
      rainMm: wetMm * (1 - snowShare),
      snowMm: wetMm * snowShare,
      pressurePascals:
        climate.pressurePascals - 700 * front - 1200 * storm.share + frontal.pressurePascals,
      cloudShare,
      skyCelsius: skyCelsiusAt(celsius, cloudShare),
      sunWattsPerSquareMetre: sunWattsAt(sunHeight, cloudShare),
    };
  }

  private frontalAir(atMs: number, season: number): FrontalAir {
    const { climate, latitudeDegrees, site } = this.place;
    if (climate.fronts === undefined) return NO_FRONT;
    this.fronts ??= new FrontTrain(this.seed, site, climate.fronts, latitudeDegrees < 0, atMs);
    return this.fronts.at(atMs, season);
  }

  /** mm of water within the minute. @param season 1 at midsummer, -1 in midwinter. */
  private stepWet(front: number, season: number): number {
    const { climate } = this.place;
    const { wetMmPerHour } = climate;
    const wetShare =
      climate.wetShare *
      (1 + (climate.wetSeason ?? 0) * season) *
      monsoonWetFactor(climate.monsoon, season);
    const leave = STEP_SECONDS / WET_SPELL_SECONDS;
    // exp(1.2 x - 0.72) has the mean 1 for a standard normal x, so that the share is kept.
    const enter = ((leave * wetShare) / (1 - wetShare)) * Math.exp(1.2 * front - 0.72);
    const draw = this.spells.uniform();
    this.wet = this.wet ? draw >= leave : draw < enter;
    const strength = Math.exp(0.9 * this.shower.step(STEP_SECONDS) - 0.4);
    return this.wet ? (wetMmPerHour * strength) / 60 : 0;
  }

  private cloud(front: number, frontal: FrontalAir, wetMm: number): number {
    const { cloudShare } = this.place.climate;
    const bias = Math.log(cloudShare / (1 - cloudShare));
    const share = 1 / (1 + Math.exp(-(2.6 * front + 1.6 * bias + 3 * frontal.cloudPush)));
    return wetMm > 0 ? Math.max(0.92, share) : share;
  }

  private depression(wetMm: number, shiftKelvin: number, storm: StormShare): number {
    const { dewPointDepressionKelvin, dewPointSpreadKelvin } = this.place.climate;
    const wander = dewPointSpreadKelvin * this.dampness.step(STEP_SECONDS);
    const ordinary = Math.max(0.3, dewPointDepressionKelvin + wander + shiftKelvin);
    const goal = wetMm > 0 ? Math.min(ordinary, 1.2) : ordinary;
    // Air needs an hour or two of rain to become damp, and as long to dry.
    if (this.surfaceDepression === 0) this.surfaceDepression = ordinary;
    this.surfaceDepression +=
      (goal - this.surfaceDepression) * (STEP_SECONDS / (1.5 * HOUR_SECONDS));
    const missing = storm.dewPointDepressionKelvin - this.surfaceDepression;
    return this.surfaceDepression + storm.share * missing;
  }

  private wind(
    front: number,
    frontal: FrontalAir,
    storm: StormShare,
    cloudShare: number,
    sunHeight: number,
  ): { windMetresPerSecond: number; windFromDegrees: number } {
    const { climate } = this.place;
    const calmNight = sunHeight === 0 ? 0.55 + 0.45 * cloudShare : 1;
    const breeze = Math.exp(0.42 * this.breeze.step(STEP_SECONDS) - 0.12 + 0.15 * front);
    const ordinary = climate.windMetresPerSecond * calmNight * breeze * frontal.windFactor;
    const steady = ordinary + storm.share * (storm.windMetresPerSecond - ordinary);
    const gusty = steady * Math.max(0, 1 + 0.12 * this.gust.step(STEP_SECONDS));
    const veer = this.veer.step(STEP_SECONDS);
    const from =
      climate.windFromDegrees +
      (climate.fronts === undefined ? 60 : 25) * veer +
      frontal.windTurnDegrees * (1 - storm.share) +
      storm.share * (storm.windFromDegrees - climate.windFromDegrees - 50 * veer);
    return { windMetresPerSecond: gusty, windFromDegrees: ((from % 360) + 360) % 360 };
  }
}

/** A monsoon comes at the height of summer, its damp air well before and after its rain. */
function monsoonKelvin(monsoon: Monsoon | undefined, season: number): number {
  return monsoon === undefined ? 0 : monsoon.damperKelvin * Math.max(0, season) ** 2;
}

function monsoonWetFactor(monsoon: Monsoon | undefined, season: number): number {
  return monsoon === undefined ? 1 : 1 + (monsoon.wetFactor - 1) * Math.max(0, season) ** 4;
}

/** -1 shortly before sunrise, 1 in the middle of the afternoon. */
function dayCurve(solarHour: number): number {
  return Math.cos((2 * Math.PI * (solarHour - 15)) / 24);
}
