import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import type { StormReview, StormUnit } from '../api/types.ts';
import { turnWords } from '../words/storms.ts';

/** Visits shown at first: nobody plans more on one sheet. */
const VISITS_AT_FIRST = 12;

const MARKS: Readonly<Record<StormUnit['visit']['turn'], string>> = {
  first: 'mark-emergency',
  soon: 'mark-urgent',
  'next-service': 'mark-routine',
  none: '',
};

/** Where to go, in what order, with what, to do what. */
export function StormVisits({ storm }: { readonly storm: StormReview }): VNode {
  const [isWhole, setWhole] = useState(false);
  const visits = storm.units.filter(({ visit }) => visit.turn !== 'none');
  const shown = isWhole ? visits : visits.slice(0, VISITS_AT_FIRST);
  const left = visits.length - shown.length;
  if (visits.length === 0) {
    return (
      <section class="storm-part">
        <h2>Visits</h2>
        <p>Nothing that this storm left asks for a visit.</p>
      </section>
    );
  }
  return (
    <>
      <section class="storm-part">
        <h2>To load, for all visits</h2>
        <ul class="bag">
          {storm.bag.map(({ thing, units }) => (
            <li key={thing}>
              {thing}{' '}
              <span class="soft">
                for {units.length} {units.length === 1 ? 'unit' : 'units'}
              </span>
            </li>
          ))}
        </ul>
      </section>
      <section class="storm-part">
        <h2>
          Visits, in this order <span class="count">{visits.length}</span>
        </h2>
        {shown.map((unit) => (
          <VisitEntry key={`${unit.site}/${unit.unit}`} unit={unit} />
        ))}
        {left > 0 ? (
          <button type="button" class="button" onClick={() => setWhole(true)}>
            Show {left} more
          </button>
        ) : null}
      </section>
    </>
  );
}

function VisitEntry({ unit }: { readonly unit: StormUnit }): VNode {
  const { visit } = unit;
  return (
    <article class="visit">
      <div class={`mark ${MARKS[visit.turn]}`}>
        <span class="mark-word">{turnWords(visit.turn)}</span>
      </div>
      <div class="visit-words">
        <h3>
          {unit.name} <span class="entry-site">{unit.siteName}</span>
        </h3>
        <p>{visit.because}.</p>
        <p class="soft">Way there: {unit.access ?? 'not recorded'}</p>
        <div class="visit-lists">
          <div>
            <h4 class="minor">Bring</h4>
            <ul>
              {visit.bring.map((thing) => (
                <li key={thing}>{thing}</li>
              ))}
            </ul>
          </div>
          <div>
            <h4 class="minor">Look at, to settle the cause</h4>
            <ul>
              {visit.checks.map((check) => (
                <li key={check}>{check}</li>
              ))}
            </ul>
          </div>
          <div>
            <h4 class="minor">Do, in this order</h4>
            <ol>
              {visit.steps.map((step) => (
                <li key={step}>{step}</li>
              ))}
            </ol>
          </div>
        </div>
      </div>
    </article>
  );
}
