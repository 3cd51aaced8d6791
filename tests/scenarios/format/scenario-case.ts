import type { Cause, FindingKind, Priority, WettingSource } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import type { ServiceEvent } from '@lineside/judging';
import type { ChannelName } from '@lineside/readings';
import type { Place } from './case-error.ts';
import type { TimeWindow } from './times.ts';

/** One case file, read. Times are milliseconds since `startMs` unless they say otherwise. */
export interface ScenarioCase {
  readonly file: string;
  readonly title: string;
  /** What happens, in words. */
  readonly story: string;
  readonly shows: readonly ShownRow[];
  /** Where what it shows is known from. */
  readonly source: string;
  readonly units: readonly Unit[];
  /** Event time of the first reading, ms since 1970. */
  readonly startMs: number;
  readonly everyMs: number;
  readonly outdoorsEveryMs: number;
  /** In the order of the file: where two name a channel, the later one holds. */
  readonly spans: readonly Span[];
  readonly services: readonly ServiceLine[];
  readonly expectations: readonly Expectation[];
}

export const SHOWN_TABLES = ['mark', 'look-alike', 'alarm'] as const;

/** A row of `coverage.ts` that the case stands for. */
export interface ShownRow {
  readonly table: (typeof SHOWN_TABLES)[number];
  readonly row: string;
}

/** What holds on a stretch of time, for the readings or the outdoor reports. */
export interface Span extends TimeWindow {
  /** One unit's id, null: all units of the case, or the outdoor station. */
  readonly of: { readonly unit: string | null } | 'outdoors';
  readonly rhythm: Rhythm | null;
  readonly settings: readonly Setting[];
}

/** When within the span it holds: between two times of the day, or at the start of each period. */
export type Rhythm =
  | { readonly type: 'daily'; readonly fromMs: number; readonly toMs: number }
  | { readonly type: 'cycle'; readonly onMs: number; readonly periodMs: number };

export type Setting =
  | {
      readonly type: 'value';
      readonly channel: ChannelName;
      /** In the channel's unit, evenly spaced over the time in which it holds. */
      readonly points: readonly number[];
      readonly noise: number;
    }
  | { readonly type: 'missing'; readonly channel: ChannelName }
  | { readonly type: 'gap' };

export interface ServiceLine extends ServiceEvent {
  readonly unit: string | null;
}

export type Expected =
  | {
      readonly type: 'raised';
      readonly kind: FindingKind;
      readonly priority: Priority;
      readonly at: TimeWindow;
      /** The most probable cause then; null: any. */
      readonly cause: Cause | null;
    }
  | { readonly type: 'clears'; readonly kind: FindingKind; readonly at: TimeWindow }
  | { readonly type: 'stands'; readonly kind: FindingKind }
  | { readonly type: 'never'; readonly kind: FindingKind }
  | {
      readonly type: 'wetting';
      readonly source: WettingSource;
      readonly begins: TimeWindow;
      readonly ends: TimeWindow | null;
    }
  | { readonly type: 'no-wetting' }
  /** No alarm and no wetting but those that other lines expect. */
  | { readonly type: 'nothing-else' };

export interface Expectation {
  readonly place: Place;
  /** As it stands in the file. */
  readonly text: string;
  /** One unit's id, or null: each unit of the case. */
  readonly unit: string | null;
  /** What the watches cannot tell yet: it has to fail, so that the mark goes once they can. */
  readonly notYet: boolean;
  readonly expected: Expected;
}
