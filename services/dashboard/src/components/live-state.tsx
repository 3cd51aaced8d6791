import type { VNode } from 'preact';
import { useNow } from '../state/clock.ts';
import { houseTroubles } from '../state/house.ts';
import { liveness } from '../state/live.ts';
import { useStore } from '../state/store.ts';
import { clockTime, relativeTime } from '../words/times.ts';

/** Whether what is on the screen is what is happening. */
export function LiveState(): VNode {
  const live = useStore(liveness);
  const isWatching = useStore(houseTroubles, (trouble) => trouble?.isWatching ?? true);
  const nowMs = useNow();
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (live.state === 'live' && !isWatching) {
    return (
      <p class="live live-lost" role="status">
        <strong>Not watching</strong>
      </p>
    );
  }
  return (
    <p class={`live live-${live.state}`} role="status">
      {live.state === 'live' ? 'Live' : null}
      {live.state === 'connecting' ? 'Connecting…' : null}
      {live.state === 'lost' ? (
        <>
          <strong>Not live since {clockTime(live.sinceMs, zone)}</strong> (
          {relativeTime(live.sinceMs, nowMs)}); trying again
        </>
      ) : null}
    </p>
  );
}
