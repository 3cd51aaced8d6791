import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { shelve } from '../api/client.ts';
import type { Alarm } from '../api/types.ts';
import { shelfEnds } from '../order/shelf-ends.ts';
import { putAlarm } from '../state/fleet.ts';
import { ChoiceField } from './choice-field.tsx';
import { FailureNote } from './failure-note.tsx';
import { Field } from './field.tsx';
import { useRequest } from './use-request.ts';

/** Puts an alarm aside until a time, with a reason; it comes back by itself. */
export function ShelveForm(props: { readonly alarm: Alarm; readonly zone: string }): VNode {
  const { alarm, zone } = props;
  const [ends] = useState(() => shelfEnds(Date.now(), zone));
  const [until, setUntil] = useState(String(ends[0]?.atMs));
  const [reason, setReason] = useState('');
  const { busy, failure, run } = useRequest();
  const send = async (): Promise<void> =>
    putAlarm(await shelve(alarm.id, Number(until), reason.trim()));
  return (
    <form
      class="service-form"
      onSubmit={(event) => {
        event.preventDefault();
        run(send);
      }}
    >
      <ChoiceField
        label="Shelve it for"
        value={until}
        choices={ends.map(({ atMs, words }) => ({ value: String(atMs), words }))}
        onValue={setUntil}
      />
      <Field
        label="Because"
        value={reason}
        onValue={setReason}
        advice="It asks nobody until then, unless its priority rises."
        required
      />
      {failure === null ? null : <FailureNote failure={failure} />}
      <div class="buttons">
        <button
          type="submit"
          class="button"
          disabled={busy}
          aria-label={`Shelve it: ${alarm.headline}`}
        >
          {busy ? 'Sending…' : 'Shelve it'}
        </button>
      </div>
    </form>
  );
}
