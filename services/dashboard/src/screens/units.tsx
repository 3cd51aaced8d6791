import type { VNode } from 'preact';
import { useMemo, useState } from 'preact/hooks';
import { FailureNote } from '../components/failure-note.tsx';
import { Field } from '../components/field.tsx';
import { MakeSafe } from '../components/make-safe.tsx';
import { NoUnits } from '../components/no-units.tsx';
import { OnCallLine } from '../components/on-call-line.tsx';
import { UnitEntry } from '../components/unit-entry.tsx';
import { type Group, grouped, inOrderOfNeed, matching } from '../order/urgency.ts';
import { goTo } from '../routes/current-route.ts';
import { type FleetState, fleet, loadFleet } from '../state/fleet.ts';
import { useStore } from '../state/store.ts';

/** So many rows of a group are shown at first: two screens of a desk, and quick on a phone. */
const ROWS_AT_FIRST = 40;
const ROWS_MORE = 200;

/** All units in order of need, or by site with the neediest site first. */
export function Units(props: { readonly by: 'need' | 'site'; readonly find: string }): VNode {
  const state = useStore(fleet);
  if (!state.loaded) return <Loading state={state} />;
  if (state.units.size === 0) return <NoUnits />;
  return (
    <>
      {state.failure === null ? null : (
        <FailureNote failure={state.failure} onRetry={() => void loadFleet()} />
      )}
      <UnitList state={state} by={props.by} find={props.find} />
    </>
  );
}

function Loading({ state }: { readonly state: FleetState }): VNode {
  if (state.failure === null) return <p class="soft">Reading the list of units…</p>;
  return <FailureNote failure={state.failure} onRetry={() => void loadFleet()} />;
}

function UnitList(props: {
  readonly state: FleetState;
  readonly by: 'need' | 'site';
  readonly find: string;
}): VNode {
  const { state, by, find } = props;
  const entries = useMemo(
    () => inOrderOfNeed(state.units.values(), state.alarms.values()),
    [state.units, state.alarms],
  );
  const found = matching(entries, find);
  return (
    <>
      <div class="title">
        <h1>Which units need somebody</h1>
        <p class="soft">
          {found.length === entries.length
            ? `${entries.length} units, most pressing first`
            : `${found.length} of ${entries.length} units, most pressing first`}
        </p>
      </div>
      <div class="tools">
        <Field
          label="Find a unit or site"
          type="search"
          value={find}
          onValue={(text) => goTo({ screen: 'units', by, find: text }, 'replace')}
        />
        <label class="choice">
          <input
            type="checkbox"
            checked={by === 'site'}
            onChange={(event) => {
              const next = event.currentTarget.checked ? 'site' : 'need';
              goTo({ screen: 'units', by: next, find }, 'replace');
            }}
          />
          Keep each site together
        </label>
      </div>
      <OnCallLine />
      <MakeSafe open={false} />
      {found.length === 0 ? <p>No unit or site has “{find}” in its name.</p> : null}
      {grouped(found, by).map((group) => (
        <UnitGroup key={`${by} ${group.key}`} group={group} showSite={by === 'need'} />
      ))}
    </>
  );
}

function UnitGroup(props: { readonly group: Group; readonly showSite: boolean }): VNode {
  const { group, showSite } = props;
  const [rows, setRows] = useState(ROWS_AT_FIRST);
  const hidden = group.entries.length - rows;
  return (
    <section class={`group group-${group.key}`}>
      <h2>
        {group.heading} <span class="count">{group.entries.length}</span>
      </h2>
      <ul class="entries">
        {group.entries.slice(0, rows).map((entry) => (
          <UnitEntry
            key={`${entry.unit.site}/${entry.unit.unit}`}
            entry={entry}
            showSite={showSite}
          />
        ))}
      </ul>
      {hidden > 0 ? (
        <button type="button" class="button" onClick={() => setRows(rows + ROWS_MORE)}>
          Show {Math.min(hidden, ROWS_MORE)} more of {group.entries.length}
        </button>
      ) : null}
    </section>
  );
}
