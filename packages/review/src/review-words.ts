import { fusesLostAtLeast } from './fuses-lost.ts';
import type { Storm } from './storm.ts';
import type { UnitReview } from './unit-review.ts';
import { capital, counted, inWords, rounded } from './words.ts';

const HOUR_MS = 3_600_000;

/** A storm in one or two sentences. */
export function headlineOf(storm: Storm, units: readonly UnitReview[]): string {
  const wetted = units.filter(({ source }) => source === 'water-ingress').length;
  const lost = units.filter(({ fuses }) => fusesLostAtLeast(fuses) > 0).length;
  const surely = units.filter(({ fuses }) => fuses.replaced !== 0).length;
  const alarms = units.reduce((sum, unit) => sum + unit.alarms.length, 0);
  const parts = [
    `${counted(units.length, 'unit')} touched within ${span(storm)}`,
    ...(wetted > 0 ? [`water got into ${wetted}`] : []),
    ...(alarms > 0 ? [counted(alarms, 'alarm')] : ['no alarm']),
    ...(lost > 0 ? [`fuses lost${surely < lost ? ' or suspected' : ''} in ${lost}`] : []),
  ];
  const [worst] = units;
  const most = worst === undefined ? '' : ` Most harmed: ${worst.name}${excess(worst)}.`;
  return `${capital(inWords(parts))}.${most}`;
}

function excess({ excessMilliamps }: UnitReview): string {
  if (excessMilliamps === null || excessMilliamps < 0.1) return '';
  return `, ${rounded(excessMilliamps)} mA above its usual leakage`;
}

function span({ startMs, lastTouchMs }: Storm): string {
  const hours = Math.max(1, Math.ceil((lastTouchMs - startMs) / HOUR_MS));
  return hours < 48 ? counted(hours, 'hour') : counted(Math.round(hours / 24), 'day');
}

/** What to mind on all visits. Common practice but where a source is named. */
export function cautionsFor(units: readonly UnitReview[]): readonly string[] {
  const anyLost = units.some(({ fuses }) => fusesLostAtLeast(fuses) > 0);
  return [
    'In lightning, high wind or ice nobody goes onto a roof: make safe from the upstream disconnect.',
    'Lock out upstream of the part to be touched: a disconnect leaves its own line lugs, the feed ' +
      'and remote fuses live. Look for a second feed.',
    'No reading proves absence of voltage: prove the meter, test phase to phase and phase to ' +
      'ground, prove the meter again. Wait out capacitors and drives.',
    'Inspect the line side and measure insulation before energising again.',
    ...(anyLost
      ? [
          'Replacing fuses and trying again, over and over, is prohibited ' +
            '(OSHA 29 CFR 1910.334(b)(2)). Never a larger fuse or another class.',
        ]
      : []),
    'A dry unit can read well and still have the track: dryness is no repair.',
    'This page advises. Local codes, the maker’s instructions and the licensed person on site decide.',
  ];
}
