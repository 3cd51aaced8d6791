/** What looks like a fault and is none. Times are milliseconds of event time. */
import type { BacklogOrder } from './fault-kinds.ts';
import type { Phase } from './scenario.ts';

interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

export type LookAlike = Span &
  (
    | {
        /** A filter or drive is fitted: an offset for as long as the unit is energised. */
        readonly kind: 'emi-filter';
        readonly milliamps: number;
      }
    | {
        /** All current transformers follow the temperature. */
        readonly kind: 'transformer-drift';
        readonly leakMilliampsPerKelvin: number;
        readonly currentPercentPerKelvin: number;
      }
    | {
        /** The residual sensor errs in proportion to the amps. */
        readonly kind: 'residual-load-error';
        readonly percentOfLoad: number;
      }
    | {
        /** An element that took up moisture: high when first energised, dries as it heats. */
        readonly kind: 'damp-heater';
        readonly contactor: number;
        readonly phase: Phase;
        readonly milliamps: number;
        /** Time to dry to a third. */
        readonly dryingMinutes: number;
      }
    | {
        /** Ages by a step at each lightning stroke. */
        readonly kind: 'surge-arrester';
        readonly phase: Phase;
        readonly strokesMs: readonly number[];
        readonly milliampsPerStroke: number;
      }
    | {
        /** Loads stop, the unit stays energised: smoke detector, building control, overload. */
        readonly kind: 'safety-stop';
        readonly reason: 'smoke' | 'building-control' | 'overload';
        /** An overload stops this contactor alone. */
        readonly contactor?: number;
      }
    | {
        /** A service outlet, used by spells in working hours; one phase returns by the neutral. */
        readonly kind: 'service-outlet';
        readonly phases: readonly [Phase] | readonly [Phase, Phase];
        readonly amps: number;
      }
    | {
        /** Door open, disconnect open, water on the coils and in the air, no rain. */
        readonly kind: 'coil-washing';
      }
    | { readonly kind: 'utility-outage' }
    | {
        /** All nodes of a site are silent together; they measure and keep. */
        readonly kind: 'gateway-loss';
        readonly backlog: BacklogOrder;
      }
  );

export type LookAlikeKind = LookAlike['kind'];

export function during(span: Span, atMs: number): boolean {
  return atMs >= span.fromMs && atMs < span.toMs;
}
