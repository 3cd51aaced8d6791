import type { AlarmAction } from '../act.ts';
import type { Alarm } from '../alarm.ts';
import { REOPEN_WITHIN_MS } from '../reduce.ts';
import { rfc3339 } from '../rfc3339.ts';
import { suppressedBy, suppressionReason } from './suppression.ts';
import { type HoldRequest, type HoldSpan, holdInForce } from './unit-holds.ts';

/** A hold as far as alarms are set aside by it. */
export type SilencingHold = HoldSpan & Pick<HoldRequest, 'owner' | 'reason'>;

/**
 * What the clock has to do to an alarm now so that it is out of service with its unit, suppressed by
 * design, or neither; null when it is as it should be. Done again and again, it ends after two
 * actions at most.
 *
 * Out of service goes before suppression. An alarm that is set aside and has not stood for longer
 * than it could reopen is let go: it is over, and would only pile up.
 *
 * @param ofUnit alarms of its unit that are not over, this one may be among them.
 * @param holds of its unit.
 */
export function silencingDue(
  alarm: Alarm,
  ofUnit: readonly Alarm[],
  holds: readonly SilencingHold[],
  nowMs: number,
): AlarmAction | null {
  if (alarm.withdrawn || alarm.state === 'normal') return null;
  const hold = holdInForce(holds, nowMs);
  const isOut = hold?.kind === 'out-of-service';
  if (alarm.state === 'out-of-service') {
    if (!isOut) return { type: 'return-to-service', note: 'its unit is back in service' };
    return isOver(alarm, nowMs) ? { type: 'return-to-service', note: OVER } : null;
  }
  const isSuppressed = alarm.state === 'suppressed';
  if (isSuppressed && isOver(alarm, nowMs)) return { type: 'unsuppress', note: OVER };
  if (isOut) return isOver(alarm, nowMs) ? null : takeOut(hold);
  if (isSuppressed) return unsuppress(alarm, ofUnit);
  if (alarm.state !== 'unacknowledged') return null;
  const by = suppressedBy(alarm, ofUnit);
  if (by === null) return null;
  const because = suppressionReason(by.kind, alarm.kind) ?? '';
  return { type: 'suppress', note: `while ${by.kind} stands (${by.id}): ${because}` };
}

const OVER = 'its condition is gone';

function takeOut({ owner, reason, untilMs }: SilencingHold): AlarmAction {
  const note = `unit out of service until ${rfc3339(untilMs)}, ${owner}: ${reason}`;
  return { type: 'take-out-of-service', note };
}

/** One that has cleared stays for as long as the other stands: it may reopen. */
function unsuppress(alarm: Alarm, ofUnit: readonly Alarm[]): AlarmAction | null {
  if (suppressedBy({ ...alarm, standing: true }, ofUnit) !== null) return null;
  return {
    type: 'unsuppress',
    note: 'what it was suppressed by stands no more, or is less urgent',
  };
}

/** By its event time: one that is found in a backlog is over at once. */
function isOver({ standing, clearedAtMs }: Alarm, nowMs: number): boolean {
  return !standing && clearedAtMs !== null && nowMs - clearedAtMs > REOPEN_WITHIN_MS;
}
