import type { VNode } from 'preact';
import { useId, useState } from 'preact/hooks';
import type { Alarm } from '../api/types.ts';
import { putAlarm } from '../state/fleet.ts';
import { FailureNote } from './failure-note.tsx';
import { useRequest } from './use-request.ts';

/** The most that the API takes. */
const NOTE_MOST_CHARACTERS = 500;

/** A note for the journal, with the acknowledgement or with handing on. */
export function AlarmNote(props: {
  readonly alarm: Alarm;
  readonly acknowledge: (note: string) => Promise<Alarm>;
  /** Null where the alarm asks nobody. */
  readonly handOn: ((note: string) => Promise<Alarm>) | null;
}): VNode {
  const { alarm, acknowledge, handOn } = props;
  const id = useId();
  const [note, setNote] = useState('');
  const [said, setSaid] = useState('');
  const { busy, failure, run } = useRequest();
  const send = (action: (note: string) => Promise<Alarm>, done: string): void =>
    run(async () => {
      putAlarm(await action(note.trim()));
      setNote('');
      setSaid(done);
    });
  return (
    <form
      class="service-form"
      onSubmit={(event) => {
        event.preventDefault();
        send(acknowledge, 'Acknowledged.');
      }}
    >
      <div class="field">
        <label for={id}>Note for the journal, such as: on my way</label>
        <textarea
          id={id}
          rows={2}
          maxLength={NOTE_MOST_CHARACTERS}
          value={note}
          onInput={(event) => setNote(event.currentTarget.value)}
        />
      </div>
      <p role="status">{said}</p>
      {failure === null ? null : <FailureNote failure={failure} />}
      <div class="buttons">
        <button type="submit" class="button" disabled={busy}>
          Acknowledge with this note
        </button>
        {handOn === null ? null : (
          <button
            type="button"
            class="button"
            disabled={busy}
            aria-label={`Hand on to the next in line: ${alarm.headline}`}
            onClick={() => send(handOn, 'Handed on: whoever is next in line is asked now.')}
          >
            Hand on to the next in line
          </button>
        )}
      </div>
    </form>
  );
}
