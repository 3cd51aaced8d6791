import type { VNode } from 'preact';
import type { Alarm } from '../api/types.ts';
import { AlarmEntry } from '../components/alarm-entry.tsx';
import { FailureNote } from '../components/failure-note.tsx';
import { MakeSafe } from '../components/make-safe.tsx';
import { compareAlarms, isStanding } from '../order/urgency.ts';
import { type FleetState, fleet, loadFleet, unitKey } from '../state/fleet.ts';
import { useStore } from '../state/store.ts';

/** Every alarm that is not back to normal: first those whose condition is present. */
export function Alarms(): VNode {
  const state = useStore(fleet);
  const open = [...state.alarms.values()].sort(compareAlarms);
  const standing = open.filter(isStanding);
  const ended = open.filter((alarm) => !isStanding(alarm));
  return (
    <>
      <div class="title">
        <h1>Alarms</h1>
        <p class="soft">
          {standing.length} standing, {ended.length} back to normal and not acknowledged
        </p>
      </div>
      {state.failure === null ? null : (
        <FailureNote failure={state.failure} onRetry={() => void loadFleet()} />
      )}
      <MakeSafe open={false} />
      {state.loaded && open.length === 0 ? (
        <p class="empty">
          No alarm is open. That says nothing about what the next storm will find: look at the list
          of units for small margins to the dew point and for rising leakage.
        </p>
      ) : null}
      <AlarmList heading="Standing now" alarms={standing} state={state} />
      <AlarmList heading="Back to normal, not acknowledged" alarms={ended} state={state} />
    </>
  );
}

function AlarmList(props: {
  readonly heading: string;
  readonly alarms: readonly Alarm[];
  readonly state: FleetState;
}): VNode | null {
  if (props.alarms.length === 0) return null;
  return (
    <section class="group">
      <h2>
        {props.heading} <span class="count">{props.alarms.length}</span>
      </h2>
      {props.alarms.map((alarm) => {
        const unit = props.state.units.get(unitKey(alarm.site, alarm.unit));
        if (unit === undefined) return null;
        return <AlarmEntry key={alarm.id} alarm={alarm} unit={unit} withUnit />;
      })}
    </section>
  );
}
