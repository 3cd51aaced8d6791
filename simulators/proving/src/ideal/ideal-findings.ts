import type { Alarm } from '@lineside/alarms';
import type { Cause, FindingKind } from '@lineside/anomaly';
import type { Found } from './knowing-watch.ts';

interface Telling {
  readonly kind: FindingKind;
  readonly cause: Cause;
}

/** As what each of them is told, so that the same rules of matching score it. */
const TELLINGS: Readonly<Partial<Record<Found['kind'], Telling>>> = {
  'track-to-ground': { kind: 'leakage', cause: 'line-side-track-to-ground' },
  vermin: { kind: 'leakage', cause: 'unknown' },
  'load-insulation': { kind: 'leakage', cause: 'load-insulation' },
  'track-between-poles': { kind: 'phase-track', cause: 'pole-to-pole-track' },
  'loose-terminal': { kind: 'unbalance', cause: 'worn-pole-or-connection' },
  'worn-pole': { kind: 'unbalance', cause: 'worn-pole-or-connection' },
  'supply-unbalance': { kind: 'unbalance', cause: 'supply-voltage' },
  loss: { kind: 'supply-loss', cause: 'disconnect-open-or-fuses-open' },
};

/** What the knowing detector found, as alarms: one each, urgent at once. */
export function idealAlarms(site: string, unit: string, found: readonly Found[]): Alarm[] {
  return found.flatMap((one, index) => {
    const telling = TELLINGS[one.kind];
    return telling === undefined ? [] : [alarmOf(site, unit, one, telling, index)];
  });
}

function alarmOf(
  site: string,
  unit: string,
  { foundMs, side }: Found,
  { kind, cause }: Telling,
  index: number,
): Alarm {
  const causes = [{ cause, probability: 1, because: [] }];
  return {
    id: `ideal-${index}`,
    site,
    unit,
    kind,
    priority: 'urgent',
    state: 'unacknowledged',
    standing: true,
    raisedAtMs: foundMs,
    clearedAtMs: null,
    acknowledgedAtMs: null,
    acknowledgedBy: null,
    shelvedUntilMs: null,
    shelvedBy: null,
    shelveReason: null,
    priorities: [{ priority: 'urgent', sinceMs: foundMs, causes }],
    headline: kind,
    evidence: { side: side ?? 'undetermined' },
    causes,
    withdrawn: false,
    revision: 0,
  };
}
