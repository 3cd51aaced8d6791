import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import type { StormReview, StormUnit } from '../api/types.ts';
import { formatRoute } from '../routes/route.ts';
import { useNow } from '../state/clock.ts';
import { quantity } from '../words/quantities.ts';
import { alarmsWords, dryingWords, fusesWords, leakageWords, turnWords } from '../words/storms.ts';
import { wettingWords } from '../words/vocabulary.ts';
import { chartSpan } from './storm-span.ts';

/** Rows shown at first: a storm over a whole fleet has hundreds. */
const ROWS_AT_FIRST = 50;

/** The units of a storm as a table, the most harmed first. */
export function StormUnits({ storm }: { readonly storm: StormReview }): VNode {
  const [isWhole, setWhole] = useState(false);
  const shown = isWhole ? storm.units : storm.units.slice(0, ROWS_AT_FIRST);
  const left = storm.units.length - shown.length;
  return (
    <section class="storm-part">
      <h2 id="harm-heading">
        Units, the most harmed first <span class="count">{storm.units.length}</span>
      </h2>
      <table class="harm" aria-labelledby="harm-heading">
        <thead>
          <tr>
            <th scope="col">Unit</th>
            <th scope="col">Fuses lost</th>
            <th scope="col">Alarms</th>
            <th scope="col">Highest leakage</th>
            <th scope="col">Water</th>
            <th scope="col">Wet</th>
            <th scope="col">Drying</th>
            <th scope="col">Visit</th>
          </tr>
        </thead>
        <tbody>
          {shown.map((unit) => (
            <HarmRow key={`${unit.site}/${unit.unit}`} unit={unit} storm={storm} />
          ))}
        </tbody>
      </table>
      {left > 0 ? (
        <button type="button" class="button" onClick={() => setWhole(true)}>
          Show {left} more
        </button>
      ) : null}
      {storm.dampUnits > 0 ? (
        <p class="soft">
          {storm.dampUnits} more {storm.dampUnits === 1 ? 'unit was' : 'units were'} damp, without
          water or alarm.
        </p>
      ) : null}
      <p class="soft">
        Usual leakage is what the unit has learned of itself on dry days, or the lowest of the three
        days before.
      </p>
    </section>
  );
}

function HarmRow(props: { readonly unit: StormUnit; readonly storm: StormReview }): VNode {
  const { unit, storm } = props;
  const range = chartSpan(storm, useNow());
  const address = formatRoute({ screen: 'unit', site: unit.site, unit: unit.unit, range });
  return (
    <tr>
      <th scope="row">
        <a href={address}>{unit.name}</a>
        {storm.sites.length > 1 ? <span class="soft"> {unit.siteName}</span> : null}
      </th>
      <Cell of="Fuses lost" strong={fusesWords(unit) !== 'none'}>
        {fusesWords(unit)}
      </Cell>
      <Cell of="Alarms" strong={unit.highestPriority === 'emergency'}>
        {alarmsWords(unit)}
      </Cell>
      <Cell of="Highest leakage">{leakageWords(unit)}</Cell>
      <Cell of="Water">{unit.source === null ? 'none seen' : wettingWords(unit.source)}</Cell>
      <Cell of="Wet">{quantity(unit.wetHours, 'h', 1)}</Cell>
      <Cell of="Drying">{dryingWords(unit)}</Cell>
      <Cell of="Visit" strong={unit.visit.turn === 'first'}>
        {turnWords(unit.visit.turn)}
      </Cell>
    </tr>
  );
}

function Cell(props: {
  readonly of: string;
  readonly strong?: boolean;
  readonly children: string;
}): VNode {
  return (
    <td data-of={props.of}>
      {props.strong === true ? <strong>{props.children}</strong> : props.children}
    </td>
  );
}
