import type { VNode } from 'preact';
import { arrivalProgress } from '../state/arrival.ts';
import { useNow } from '../state/clock.ts';
import { fleet } from '../state/fleet.ts';
import { useStore } from '../state/store.ts';
import { dayAndTime } from '../words/times.ts';

/** Says quietly that the past is still coming in, and how far it is. */
export function ArrivalLine(): VNode | null {
  useNow();
  const { arrivals, units } = useStore(fleet);
  const inService = [...units.values()].filter(({ retired }) => !retired);
  const nowMs = Date.now();
  const progress = arrivalProgress(arrivals.values(), inService.length, nowMs);
  if (progress === null) return null;
  const { upToMs, caughtUp, total } = progress;
  const zone = inService[0]?.timezone ?? 'UTC';
  return (
    <p class="arrival">
      History is arriving: readings up to {dayAndTime(upToMs, zone, nowMs)}, {caughtUp} of {total}{' '}
      units have caught up. <progress max={total} value={caughtUp} aria-label="Units caught up" />
    </p>
  );
}
