import { requireWithin } from './physics-range-error.ts';

/** Above this voltage unbalance a motor should not run at all (NEMA MG 1). */
export const MOST_VOLTAGE_UNBALANCE_PERCENT = 5;

/** Derating factor at 0, 1, 2, 3, 4 and 5 % of voltage unbalance. */
const DERATING: readonly number[] = [1, 1, 0.95, 0.88, 0.82, 0.75];

/**
 * Share of its rated power that a motor may give under unbalanced voltages.
 *
 * Input:    unbalancePercent of the line voltages as NEMA defines it, 0 to 5 %.
 * Output:   1 down to 0.75, never rising.
 * Source:   NEMA MG 1 figure 14-1, read off the graph (points from memory except 1.96 %, which
 *           gives about 0.95), straight between its points.
 * Accuracy: 0.01, it is a graph.
 * Errors:   PhysicsRangeError PHYSICS_PERCENT_RANGE; above 5 % a motor is not to run.
 */
export function motorDeratingFactor(unbalancePercent: number): number {
  requireWithin(
    unbalancePercent,
    0,
    MOST_VOLTAGE_UNBALANCE_PERCENT,
    'voltage unbalance in %',
    'PHYSICS_PERCENT_RANGE',
  );
  const step = Math.min(Math.floor(unbalancePercent), DERATING.length - 2);
  const from = DERATING[step] ?? 1;
  const to = DERATING[step + 1] ?? from;
  return from + (to - from) * (unbalancePercent - step);
}

/**
 * How much more a winding heats up under unbalanced voltages, over its usual temperature rise.
 *
 * Input:    unbalancePercent of the line voltages as NEMA defines it, 0 to 5 %.
 * Output:   %, 0 to 50.
 * Source:   rule of thumb of the trade, twice the square of the unbalance; "3.5 % gives 25 %" is
 *           its usual printed example.
 * Errors:   PhysicsRangeError PHYSICS_PERCENT_RANGE.
 */
export function windingHeatingPercent(unbalancePercent: number): number {
  requireWithin(
    unbalancePercent,
    0,
    MOST_VOLTAGE_UNBALANCE_PERCENT,
    'voltage unbalance in %',
    'PHYSICS_PERCENT_RANGE',
  );
  return 2 * unbalancePercent * unbalancePercent;
}
