import type { VNode } from 'preact';
import { stormCsvAddress, stormReview } from '../api/client.ts';
import type { StormReview } from '../api/types.ts';
import { FailureNote } from '../components/failure-note.tsx';
import { StormCourse } from '../components/storm-course.tsx';
import { StormLog } from '../components/storm-log.tsx';
import { StormUnits } from '../components/storm-units.tsx';
import { StormVisits } from '../components/storm-visits.tsx';
import { useAnswer } from '../components/use-answer.ts';
import { formatRoute } from '../routes/route.ts';
import { useNow } from '../state/clock.ts';
import { periodWords, weatherWords } from '../words/storms.ts';

/** One storm, from what happened to what to load. */
export function StormScreen({ id }: { readonly id: string }): VNode {
  const { answer, failure, readAnew } = useAnswer(id, () => stormReview(id));
  if (answer !== null) return <StormPage storm={answer} />;
  if (failure === null) return <p class="soft">Reading the storm…</p>;
  return <FailureNote failure={failure} onRetry={readAnew} />;
}

function StormPage({ storm }: { readonly storm: StormReview }): VNode {
  const nowMs = useNow();
  const weather = weatherWords(storm.weather);
  const station = storm.sites.find(({ site }) => site === storm.weather?.site);
  return (
    <article class="storm">
      <header class="storm-title">
        <p class="soft storm-back">
          <a href={formatRoute({ screen: 'storms' })}>Storms</a>
        </p>
        <h1>{storm.name}</h1>
        <p>{periodWords(storm, nowMs)}</p>
        <p class="storm-headline">{storm.headline}</p>
        {weather === null ? null : (
          <p>
            Outdoors{station === undefined ? '' : ` at ${station.name}`}: {weather}.
          </p>
        )}
        <p class="soft">Counted as a storm: {storm.because.join('; ')}.</p>
        <p class="storm-tools">
          <button type="button" class="button" onClick={() => print()}>
            Print
          </button>
          <a href={stormCsvAddress(storm.id)} download>
            All units as CSV
          </a>
        </p>
      </header>
      <StormCourse storm={storm} />
      <StormUnits storm={storm} />
      <StormVisits storm={storm} />
      <section class="storm-part">
        <h2>Mind on every visit</h2>
        <ul class="storm-cautions">
          {storm.cautions.map((caution) => (
            <li key={caution}>{caution}</li>
          ))}
        </ul>
      </section>
      <StormLog storm={storm} />
    </article>
  );
}
