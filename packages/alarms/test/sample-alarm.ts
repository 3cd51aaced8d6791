import type {
  FindingChange,
  Priority,
  RaisedFinding,
  ReconsideredFinding,
} from '@lineside/anomaly';
import { type Alarm, applyFinding, type FindingContext } from '../src/index.ts';

export const MINUTE_MS = 60_000;
export const RAISED_MS: number = Date.UTC(2026, 0, 10, 4, 12);

/** A context whose ids are a1, a2, … */
export function contextOf(): FindingContext {
  let count = 0;
  return {
    site: 'harbour-mall',
    unit: 'rtu-01',
    newId: () => {
      count += 1;
      return `a${count}`;
    },
  };
}

type Raise = RaisedFinding;

export function opened(atMs: number, priority: Priority = 'routine'): Raise {
  return {
    change: 'opened',
    kind: 'leakage',
    priority,
    atMs,
    headline: `Leakage to ground, ${priority}`,
    evidence: { leakageMilliamps: 14, side: 'line' },
    causes: [
      { cause: 'line-side-track-to-ground', probability: 0.86, because: ['rises with humidity'] },
    ],
  };
}

export function escalated(atMs: number, priority: Priority): Raise {
  return { ...opened(atMs, priority), change: 'escalated' };
}

export function reconsidered(atMs: number): ReconsideredFinding {
  return {
    change: 'reconsidered',
    kind: 'leakage',
    atMs,
    headline: 'Leakage to ground, load side',
    evidence: { leakageMilliamps: 14, side: 'load', reconsideredAtMs: atMs },
    causes: [{ cause: 'load-insulation', probability: 0.7, because: ['falls with the load'] }],
  };
}

export function closed(atMs: number): FindingChange {
  return { change: 'closed', kind: 'leakage', atMs };
}

/** The alarm after these changes, from none. */
export function alarmAfter(changes: readonly FindingChange[]): Alarm {
  const context = contextOf();
  let newest: Alarm | null = null;
  for (const change of changes) {
    newest = applyFinding(newest, change, context).at(-1)?.alarm ?? newest;
  }
  if (newest === null) throw new Error('these changes raise nothing');
  return newest;
}
