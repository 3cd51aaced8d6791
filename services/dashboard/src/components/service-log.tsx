import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import type { ServiceRecord, Unit } from '../api/types.ts';
import { mayAct, sessionState } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { actionLabel } from '../words/service-actions.ts';
import { FailureNote } from './failure-note.tsx';
import { Moment } from './moment.tsx';
import { ServiceForm } from './service-form.tsx';
import type { ServiceRecordsState } from './use-service-records.ts';

/** What has been done to the unit, and the form to add to it. */
export function ServiceLog(props: {
  readonly unit: Unit;
  readonly service: ServiceRecordsState;
}): VNode {
  const { unit, service } = props;
  const allowed = mayAct(useStore(sessionState));
  const [adding, setAdding] = useState(false);
  return (
    <section class="unit-service" aria-labelledby="service-heading">
      <h2 id="service-heading">Service record</h2>
      {service.failure === null ? null : (
        <FailureNote failure={service.failure} onRetry={service.readAnew} />
      )}
      {allowed && !adding ? (
        <button type="button" class="button" onClick={() => setAdding(true)}>
          Add what was done
        </button>
      ) : null}
      {adding ? (
        <ServiceForm
          unit={unit}
          onDone={(added) => {
            setAdding(false);
            if (added) service.readAnew();
          }}
        />
      ) : null}
      {service.records.length === 0 && service.failure === null ? (
        <p class="soft">Nothing has been recorded for this unit.</p>
      ) : null}
      <ul class="log">
        {service.records.map((record) => (
          <LogLine key={record.id} record={record} zone={unit.timezone} />
        ))}
      </ul>
    </section>
  );
}

/** Fields that are said in words of their own; all others are listed by name. */
const TOLD = new Set([
  'id',
  'site',
  'unit',
  'time',
  'action',
  'phases',
  'note',
  'recordedAt',
  'recordedBy',
]);

function LogLine(props: { readonly record: ServiceRecord; readonly zone: string }): VNode {
  const { record, zone } = props;
  const note = record['note'];
  const phases = (record.phases ?? []).map((phase) => phase.toUpperCase()).join(', ');
  const others = Object.entries(record).filter(
    ([name, value]) => !TOLD.has(name) && value !== null && typeof value !== 'object',
  );
  return (
    <li>
      <strong>
        {actionLabel(record.action)}
        {phases === '' ? '' : `, phases ${phases}`}
      </strong>{' '}
      <span class="soft">
        <Moment at={record.time} zone={zone} />, recorded by {record.recordedBy}
      </span>
      {others.map(([name, value]) => (
        <span key={name} class="soft">
          {'; '}
          {name} {String(value)}
        </span>
      ))}
      {typeof note === 'string' && note !== '' ? <p class="note">{note}</p> : null}
    </li>
  );
}
