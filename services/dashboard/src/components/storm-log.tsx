import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import type { StormReview } from '../api/types.ts';
import { useNow } from '../state/clock.ts';
import { zoneOf } from '../words/storms.ts';
import { clockTime, dayOf } from '../words/times.ts';

/** Lines shown at first. */
const LINES_AT_FIRST = 40;

/** What happened, line by line, oldest first. */
export function StormLog({ storm }: { readonly storm: StormReview }): VNode {
  const [isWhole, setWhole] = useState(false);
  const nowMs = useNow();
  const zone = zoneOf(storm);
  const { lines, leftOut } = storm.timeline;
  const shown = isWhole ? lines : lines.slice(0, LINES_AT_FIRST);
  const names = new Map(storm.units.map(({ site, unit, name }) => [`${site}/${unit}`, name]));
  return (
    <section class="storm-part storm-log">
      <h2>Line by line</h2>
      <ol class="log">
        {shown.map((line, place) => {
          const atMs = Date.parse(line.time);
          const day = dayOf(atMs, zone, nowMs);
          const before = shown[place - 1];
          const isNewDay =
            before === undefined || dayOf(Date.parse(before.time), zone, nowMs) !== day;
          return (
            <li key={`${line.time} ${line.site} ${line.unit} ${line.words}`}>
              {isNewDay ? <strong class="log-day">{day}</strong> : null}
              <time dateTime={line.time}>{clockTime(atMs, zone)}</time>{' '}
              {names.get(`${line.site}/${line.unit}`) ?? line.unit}: {line.words}
            </li>
          );
        })}
      </ol>
      {lines.length > shown.length ? (
        <button type="button" class="button" onClick={() => setWhole(true)}>
          Show {lines.length - shown.length} more
        </button>
      ) : null}
      {leftOut > 0 ? <p class="soft">{leftOut} lines of less weight are left out.</p> : null}
    </section>
  );
}
