import type { Unit } from '@lineside/fleet';
import type { Cause, CauseEstimate } from '../vocabulary.ts';
import { SELDOM, SITE_CHECKS, type SiteCheck } from './site-checks.ts';

/** What advice needs to know of a unit. */
export type Plate = Pick<Unit, 'fuses' | 'contactors' | 'supply' | 'drive'>;

/** What somebody who goes to the unit reads; each line short enough for a phone. */
export interface Advice {
  /** What to look at to settle which cause it is, what settles most first. */
  readonly checks: readonly string[];
  readonly bring: readonly string[];
  /** Cautions that these checks ask for. */
  readonly cautions: readonly string[];
}

/** More would not be read on a roof. */
const MOST_CHECKS = 4;
/** A check that settles less than this, in bits, is not worth taking gloves off for. */
const LEAST_BITS = 0.03;
/** Causes that are less probable add nothing to the bag. A judgement, no source. */
const WORTH_CARRYING = 0.1;

/**
 * What to check on site, what to bring, and what to mind, for causes as ranked.
 *
 * Checks are ordered by how many bits they are expected to settle between the causes (mutual
 * information of finding something and the cause).
 *
 * @param plate the unit's nameplate; null when it is not known, then every rating is named as not
 *   recorded.
 */
export function adviceFor(causes: readonly CauseEstimate[], plate: Plate | null): Advice {
  const checks = checksFor(causes);
  return {
    checks: checks.map(({ words }) => words),
    bring: thingsToBring(causes, plate),
    cautions: cautionsFor(checks, plate),
  };
}

function checksFor(causes: readonly CauseEstimate[]): readonly SiteCheck[] {
  const shares = shared(causes);
  const ranked = SITE_CHECKS.map((check) => ({ check, bits: settledBits(check, shares) })).sort(
    (one, other) => other.bits - one.bits,
  );
  const worth = ranked.filter(({ bits }) => bits >= LEAST_BITS).slice(0, MOST_CHECKS);
  return (worth.length > 0 ? worth : ranked.slice(0, 1)).map(({ check }) => check);
}

/** Shares that sum to 1; what is not stated is unknown, so that a lone cause is still in doubt. */
function shared(causes: readonly CauseEstimate[]): ReadonlyMap<Cause, number> {
  const shares = new Map<Cause, number>();
  let left = 1;
  for (const { cause, probability } of causes) {
    shares.set(cause, (shares.get(cause) ?? 0) + probability);
    left -= probability;
  }
  if (left > 0) shares.set('unknown', (shares.get('unknown') ?? 0) + left);
  return shares;
}

/** Mutual information, in bits, of the check's outcome and the cause. */
function settledBits({ shows }: SiteCheck, shares: ReadonlyMap<Cause, number>): number {
  let shown = 0;
  let doubtLeft = 0;
  for (const [cause, share] of shares) {
    const often = shows[cause] ?? SELDOM;
    shown += share * often;
    doubtLeft += share * entropyBits(often);
  }
  return entropyBits(shown) - doubtLeft;
}

function entropyBits(share: number): number {
  if (share <= 0 || share >= 1) return 0;
  return -share * Math.log2(share) - (1 - share) * Math.log2(1 - share);
}

type Item = (plate: Plate | null) => string;

/** Three to fit and three in reserve: common practice. */
const fuses: Item = (plate) => {
  const fuseClass = plate?.fuses.class ?? null;
  const amps = plate?.fuses.amps ?? null;
  if (fuseClass === null && amps === null) {
    return 'Fuses, three plus three (class and rating not recorded: read them on the unit)';
  }
  const classWords = fuseClass === null ? 'class not recorded' : `class ${fuseClass}`;
  const ampWords = amps === null ? 'rating not recorded' : `${amps} A`;
  return `Fuses ${classWords}, ${ampWords}, three plus three`;
};

const contactor: Item = (plate) => {
  const known = (plate?.contactors ?? []).map(({ name, poles, flaAmps }) =>
    [
      name,
      poles === null ? 'poles not recorded' : `${poles} poles`,
      flaAmps === null ? 'full load not recorded' : `${flaAmps} A full load`,
    ].join(' '),
  );
  return known.length === 0
    ? 'Contactor (poles, full-load amps and coil voltage not recorded)'
    : `Contactor to match: ${known.join('; ')}; coil voltage not recorded`;
};

const connectors: Item = () => 'Ring and fork connectors';
const cleaner: Item = () => 'Cleaner for contactor and back-plate';
const gasket: Item = () => 'Gasket';
const sealant: Item = () => 'Neutral-cure sealant (acetic silicone corrodes)';
const insulationTester: Item = () => 'Insulation tester';
const meters: Item = (plate) =>
  plate === null
    ? 'Clamp meter and voltmeter, both proven'
    : `Clamp meter and voltmeter for ${plate.supply.volts} V, both proven`;
const nodeSpares: Item = () => 'Spare sensor node, its transformers and a battery';

const TRACK: readonly Item[] = [fuses, contactor, connectors, cleaner, insulationTester];
const DEAD: readonly Item[] = [fuses, meters, insulationTester, contactor, connectors];

const BAG: Readonly<Record<Cause, readonly Item[]>> = {
  'line-side-track-to-ground': TRACK,
  'pole-to-pole-track': TRACK,
  condensation: [cleaner, gasket],
  'water-ingress': [gasket, sealant, cleaner],
  'humid-weather': [],
  'load-insulation': [insulationTester, meters],
  'supply-voltage': [meters],
  'worn-pole-or-connection': [contactor, connectors, meters],
  'open-fuse': DEAD,
  'disconnect-open-or-fuses-open': DEAD,
  'sensor-fault': [nodeSpares, meters],
  'node-offline': [nodeSpares],
  'utility-outage': [meters],
  unknown: [meters, insulationTester, fuses],
};

/** Each thing once, those of the most probable cause first. */
function thingsToBring(causes: readonly CauseEstimate[], plate: Plate | null): readonly string[] {
  const items = causes
    .toSorted((one, other) => other.probability - one.probability)
    .filter(({ probability }) => probability >= WORTH_CARRYING)
    .flatMap(({ cause }) => BAG[cause]);
  return [...new Set(items)].map((item) => item(plate));
}

/** Short; local codes and licensed practice come first. Common practice but where it is named. */
function cautionsFor(checks: readonly SiteCheck[], plate: Plate | null): readonly string[] {
  const cautions = [
    'No reading proves absence of voltage: prove the meter, test, prove it again.',
    'Lock out upstream: the disconnect leaves its line lugs and the feed live.',
  ];
  if (plate?.drive === true) cautions.push('A drive holds its charge: wait it out.');
  if (checks.some(({ isInsulationTest }) => isInsulationTest)) {
    cautions.push(
      'Before an insulation test isolate transformer, arresters, filters, drives, electronics and the node.',
    );
  }
  cautions.push(
    'Never a larger fuse or another class; no new fuses before the line side is measured.',
    'Local codes and the licensed person on site decide.',
  );
  return cautions;
}
