import type { AlarmFigure, FigureTarget, Precision } from '../api/types.ts';
import { quantity } from './quantities.ts';
import { duration } from './times.ts';

type Unit = AlarmFigure['unit'];

const MINUTE_MS = 60_000;
const NOTHING = 'none';
/** What two decimals would show as nothing. */
const LEAST_SHOWN = 0.005;

/**
 * How far from "about" is still about, as a share: the standards say no number, so it is ours.
 */
const ABOUT_SHARE = 0.05;

/** `30.0 %` of a share between 0 and 1. */
function percent(share: number, decimals = 1): string {
  return quantity(share * 100, '%', decimals);
}

/** A measured figure; a mean has two decimals, a count none. */
export function figureValue(value: number | null, unit: Unit): string {
  if (value === null) return NOTHING;
  if (unit === 'share') return percent(value);
  if (unit === 'min') return duration(value * MINUTE_MS);
  if (value > 0 && value < LEAST_SHOWN) return 'under 0.01';
  return quantity(value, '', Number.isInteger(value) ? 0 : 2);
}

/** `at most 144, manageable up to 288`. */
export function targetWords(target: FigureTarget, unit: Unit): string {
  const said = (value: number): string =>
    unit === 'share' ? percent(value, 0) : figureValue(value, unit);
  if (target.kind === 'about') return `about ${said(target.value)}`;
  if (target.value === 0) return 'none';
  const most = `at most ${said(target.value)}`;
  return target.manageable === null ? most : `${most}, manageable up to ${said(target.manageable)}`;
}

export interface Comparison {
  readonly words: string;
  /** False for what is worth somebody's work. */
  readonly isMet: boolean;
}

/** A figure beside what is published for it. */
export function comparison(value: number, target: FigureTarget): Comparison {
  if (target.kind === 'about') {
    const off = value - target.value;
    if (Math.abs(off) <= ABOUT_SHARE) return { words: 'is about that', isMet: true };
    return { words: `${percent(Math.abs(off), 0)} ${off > 0 ? 'more' : 'less'}`, isMet: false };
  }
  if (value <= target.value) return { words: 'meets it', isMet: true };
  if (target.manageable !== null && value <= target.manageable) {
    return { words: 'still manageable', isMet: true };
  }
  return { words: 'misses it', isMet: false };
}

const PRIORITY_LINE = /\b(routine|urgent|emergency)\b/;
const FREQUENT_LINE = /^most frequent \d+: (\S+) (\S+) (\S+)$/;
const BEHAVIOUR_LINE = /^(chattering|stale|share of the most frequent)/;

/** Where a figure stands on the page. */
export function partOf(figure: string): 'load' | 'behaviour' | 'priority' | 'frequent' {
  if (FREQUENT_LINE.test(figure)) return 'frequent';
  if (BEHAVIOUR_LINE.test(figure)) return 'behaviour';
  return PRIORITY_LINE.test(figure) ? 'priority' : 'load';
}

export interface AlarmPoint {
  readonly site: string;
  readonly unit: string;
  readonly kind: string;
}

/** The unit and kind that one of the most frequent is of; null for any other figure. */
export function alarmPointOf(figure: string): AlarmPoint | null {
  const [, site, unit, kind] = FREQUENT_LINE.exec(figure) ?? [];
  if (site === undefined || unit === undefined || kind === undefined) return null;
  return { site, unit, kind };
}

type PrecisionRow = Precision['items'][number];

/** `90 %, likely between 60 % and 98 %`, or that nobody can say. */
export function precisionWords({ share, shareLow, shareHigh }: PrecisionRow): string {
  if (share === null) return 'not known';
  return `${percent(share, 0)}, likely between ${percent(shareLow, 0)} and ${percent(shareHigh, 0)}`;
}
