import type { VNode } from 'preact';
import type { Unit } from '../api/types.ts';
import { Recording } from '../charts/recording.tsx';
import { AlarmEntry } from '../components/alarm-entry.tsx';
import { CompartmentDrawing } from '../components/compartment-drawing.tsx';
import { compartmentPicture } from '../components/compartment-picture.ts';
import { ConditionLedger } from '../components/condition-ledger.tsx';
import { FailureNote } from '../components/failure-note.tsx';
import { HoldNote } from '../components/hold-note.tsx';
import { MakeSafe } from '../components/make-safe.tsx';
import { NameplateLedger } from '../components/nameplate-ledger.tsx';
import { HowToConnect } from '../components/no-units.tsx';
import { OutlookLedger } from '../components/outlook-ledger.tsx';
import { PastAlarms } from '../components/past-alarms.tsx';
import { ServiceLog } from '../components/service-log.tsx';
import { useServiceRecords } from '../components/use-service-records.ts';
import { entryOf } from '../order/urgency.ts';
import type { Range } from '../routes/route.ts';
import { fleet, loadFleet, unitKey } from '../state/fleet.ts';
import { useStore } from '../state/store.ts';

/** All about one unit. */
export function UnitScreen(props: {
  readonly site: string;
  readonly unit: string;
  readonly range: Range;
}): VNode {
  const state = useStore(fleet);
  const unit = state.units.get(unitKey(props.site, props.unit));
  if (unit !== undefined) return <UnitPage unit={unit} range={props.range} />;
  if (state.failure !== null) {
    return <FailureNote failure={state.failure} onRetry={() => void loadFleet()} />;
  }
  if (!state.loaded) return <p class="soft">Reading the unit…</p>;
  return (
    <div class="title">
      <h1>No such unit</h1>
      <p>
        The fleet has no unit “{props.unit}” at “{props.site}”, or it is not among the sites you may
        read. Go back to <a href="#/">the list of units</a>.
      </p>
    </div>
  );
}

function UnitPage({ unit, range }: { readonly unit: Unit; readonly range: Range }): VNode {
  const alarms = useStore(fleet, ({ alarms }) => alarms);
  const service = useServiceRecords(unit.site, unit.unit);
  const entry = entryOf(
    unit,
    [...alarms.values()].filter((alarm) => alarm.site === unit.site && alarm.unit === unit.unit),
  );
  return (
    <div class="unit-page">
      <div class="title unit-title">
        <p class="soft">
          <a href="#/">Units</a>, {unit.siteName}
        </p>
        <h1>{unit.name}</h1>
        <p>
          <span class="soft">Way there:</span> {unit.nameplate.access ?? 'not recorded'}
        </p>
        {unit.retired ? <p>Retired: the newest fleet file no longer names it.</p> : null}
        <HoldNote unit={unit} />
      </div>
      <div class="unit-alarms">
        {entry.alarms.length === 0 ? <p class="soft">No alarm is open on this unit.</p> : null}
        {entry.alarms.map((alarm) => (
          <AlarmEntry key={alarm.id} alarm={alarm} unit={unit} withUnit={false} />
        ))}
      </div>
      <aside class="unit-margin" aria-label="Safety and nameplate">
        <MakeSafe open={entry.alarms.length > 0} />
        <NameplateLedger unit={unit} />
      </aside>
      <section class="unit-condition" aria-labelledby="condition-heading">
        <h2 id="condition-heading">Condition</h2>
        <CompartmentDrawing picture={compartmentPicture(unit.condition, entry.alarms)} labelled />
        <ConditionLedger unit={unit} />
        {unit.condition === null ? null : (
          <div class="unit-outlook">
            <h3>Leakage on wet days</h3>
            <OutlookLedger condition={unit.condition} zone={unit.timezone} />
          </div>
        )}
      </section>
      {unit.lastReading === null ? (
        <section class="unit-recording empty">
          <h2>No readings yet</h2>
          <HowToConnect site={unit.site} unit={unit.unit} />
        </section>
      ) : (
        <Recording unit={unit} range={range} service={service.records} />
      )}
      <PastAlarms unit={unit} open={entry.alarms} />
      <ServiceLog unit={unit} service={service} />
    </div>
  );
}
