/** What happens to all units of a site, or of one transformer, at once. */
import type { BacklogOrder, Fault } from './fault-kinds.ts';
import type { LookAlike } from './look-alike-kinds.ts';
import type { Phase, UnitScript } from './scenario.ts';

interface SiteSpan {
  readonly site: string;
  readonly fromMs: number;
  readonly toMs: number;
}

export type SiteEvent = SiteSpan &
  (
    | { readonly kind: 'utility-outage' }
    | { readonly kind: 'gateway-loss'; readonly backlog: BacklogOrder }
    | {
        readonly kind: 'utility-phase-lost';
        readonly phase: Phase;
        readonly through: 'direct' | 'delta-wye';
      }
    | { readonly kind: 'supply-unbalance'; readonly phase: Phase; readonly lowPercent: number }
  );

/** A ground in something that is no unit of ours, on the same transformer. */
export interface GroundElsewhere {
  readonly phase: Phase;
  readonly microsiemens: number;
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * Units of one site that hang on one transformer. Where it is not solidly grounded they see each
 * other's grounds, and must then be stepped together, minute by minute, as `runWorld` does.
 */
export interface SharedTransformer {
  readonly site: string;
  readonly units: readonly string[];
  readonly groundsElsewhere?: readonly GroundElsewhere[];
}

/** A unit's script with what its site goes through. */
export function withSiteEvents(script: UnitScript, events: readonly SiteEvent[]): UnitScript {
  const own = events.filter(({ site }) => site === script.site);
  if (own.length === 0) return script;
  const faults: Fault[] = [...script.faults];
  const lookAlikes: LookAlike[] = [...(script.lookAlikes ?? [])];
  for (const event of own) {
    if (event.kind === 'utility-outage' || event.kind === 'gateway-loss') lookAlikes.push(event);
    else faults.push(event);
  }
  return { ...script, faults, lookAlikes };
}
