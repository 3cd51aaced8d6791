import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { startHold } from '../api/alarm-life-client.ts';
import type { Hold, Unit } from '../api/types.ts';
import { sessionState } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { holdMeaning } from '../words/holds.ts';
import { ChoiceField } from './choice-field.tsx';
import { FailureNote } from './failure-note.tsx';
import { Field } from './field.tsx';
import { UntilField } from './until-field.tsx';
import { useRequest } from './use-request.ts';

const KINDS: readonly { readonly value: Hold['kind']; readonly words: string }[] = [
  { value: 'maintenance', words: 'Maintenance or commissioning' },
  { value: 'out-of-service', words: 'Out of service' },
];

/** Starts a hold now. `onDone` says whether one was started. */
export function HoldForm(props: {
  readonly unit: Unit;
  readonly onDone: (started: boolean) => Promise<void>;
}): VNode {
  const { unit, onDone } = props;
  const session = useStore(sessionState);
  const own = session.state === 'signed-in' ? session.session.person.displayName : '';
  const [kind, setKind] = useState<Hold['kind']>('maintenance');
  const [until, setUntil] = useState<number | null>(null);
  const [reason, setReason] = useState('');
  const [owner, setOwner] = useState(own);
  const { busy, failure, run } = useRequest();
  const start = async (untilMs: number): Promise<void> => {
    const wanted = { kind, owner, reason, until: new Date(untilMs).toISOString() };
    await startHold(unit.site, unit.unit, wanted);
    await onDone(true);
  };
  return (
    <form
      class="service-form hold-form"
      onSubmit={(event) => {
        event.preventDefault();
        if (until !== null) run(() => start(until));
      }}
    >
      <ChoiceField
        label="What for"
        value={kind}
        choices={KINDS}
        onValue={(value) => setKind(KINDS.find((one) => one.value === value)?.value ?? kind)}
      />
      <UntilField key={kind} kind={kind} zone={unit.timezone} onUntil={setUntil} />
      <Field label="Because" value={reason} onValue={setReason} required />
      <Field label="Who answers for it" value={owner} onValue={setOwner} required />
      <p class="soft">{holdMeaning(kind)} It ends by itself.</p>
      {failure === null ? null : <FailureNote failure={failure} />}
      <div class="buttons">
        <button type="submit" class="button button-strong" disabled={busy || until === null}>
          {busy ? 'Sending…' : 'Start it now'}
        </button>
        <button type="button" class="button" onClick={() => void onDone(false)}>
          Leave it
        </button>
      </div>
    </form>
  );
}
