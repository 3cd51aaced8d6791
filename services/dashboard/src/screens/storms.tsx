import type { VNode } from 'preact';
import { storms } from '../api/client.ts';
import type { Storm } from '../api/types.ts';
import { FailureNote } from '../components/failure-note.tsx';
import { useAnswer } from '../components/use-answer.ts';
import { formatRoute } from '../routes/route.ts';
import { useNow } from '../state/clock.ts';
import { periodWords, weatherWords } from '../words/storms.ts';

/** Storms that were found, newest first. */
export function Storms(): VNode {
  const { answer, failure, readAnew } = useAnswer('storms', storms);
  return (
    <>
      <div class="title">
        <h1>Storms</h1>
        <p class="soft">Several units wetted together, or one in the weather of a storm</p>
      </div>
      {failure === null ? null : <FailureNote failure={failure} onRetry={readAnew} />}
      {answer === null && failure === null ? <p class="soft">Looking for storms…</p> : null}
      {answer !== null && answer.length === 0 ? (
        <p class="empty">
          No storm in the last 400 days. One is found when water gets into several units within half
          a day, when they condense beyond their habit or leak, or when one of them does in the
          rain, wind, snow or thaw of a storm.
        </p>
      ) : null}
      <ol class="storms">
        {(answer ?? []).map((storm) => (
          <StormEntry key={storm.id} storm={storm} />
        ))}
      </ol>
    </>
  );
}

function StormEntry({ storm }: { readonly storm: Storm }): VNode {
  const nowMs = useNow();
  const weather = weatherWords(storm.weather);
  return (
    <li class="storm-entry">
      <p class="storm-count">
        <strong>{storm.touchedUnits}</strong> of {storm.watchedUnits}
        <span class="soft"> units</span>
      </p>
      <div>
        <h2>
          <a href={formatRoute({ screen: 'storm', id: storm.id })}>{storm.name}</a>
        </h2>
        <p>{periodWords(storm, nowMs)}</p>
        {weather === null ? null : <p class="soft">{weather}</p>}
      </div>
    </li>
  );
}
