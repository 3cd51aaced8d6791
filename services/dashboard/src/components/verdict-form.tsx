import type { VNode } from 'preact';
import { useId, useState } from 'preact/hooks';
import { giveVerdict } from '../api/alarm-life-client.ts';
import type { Alarm, Verdict } from '../api/types.ts';
import { CAUSE_CHOICES, foundCause, NOT_KNOWN, VERDICT_CHOICES } from '../words/verdicts.ts';
import { ChoiceField } from './choice-field.tsx';
import { FailureNote } from './failure-note.tsx';
import { useRequest } from './use-request.ts';

/** The most that the API takes. */
const FOUND_MOST_CHARACTERS = 2_000;

/** What somebody found of an alarm; what they said before is replaced. */
export function VerdictForm(props: {
  readonly alarm: Alarm;
  readonly before: Verdict | null;
  readonly onGiven: () => void;
}): VNode {
  const { alarm, before, onGiven } = props;
  const [verdict, setVerdict] = useState<Verdict['verdict'] | null>(before?.verdict ?? null);
  const [found, setFound] = useState(before?.found ?? '');
  const [cause, setCause] = useState(before?.cause ?? NOT_KNOWN);
  const [said, setSaid] = useState('');
  const { busy, failure, run } = useRequest();
  const give = async (given: Verdict['verdict']): Promise<void> => {
    setSaid('');
    const entry = { verdict: given, found: found.trim(), cause: foundCause(cause) };
    await giveVerdict(alarm.id, entry);
    setSaid('It is recorded.');
    onGiven();
  };
  return (
    <form
      class="service-form"
      onSubmit={(event) => {
        event.preventDefault();
        if (verdict !== null) run(() => give(verdict));
      }}
    >
      <VerdictChoice verdict={verdict} onVerdict={setVerdict} />
      <FoundField found={found} onFound={setFound} />
      <ChoiceField
        label="Cause as found"
        value={cause}
        choices={CAUSE_CHOICES}
        onValue={setCause}
      />
      <p role="status">{said}</p>
      {failure === null ? null : <FailureNote failure={failure} />}
      <div class="buttons">
        <button
          type="submit"
          class="button"
          disabled={busy || verdict === null}
          aria-label={`${before === null ? 'Record what was found' : 'Record it instead'}: ${alarm.headline}`}
        >
          {before === null ? 'Record what was found' : 'Record it instead'}
        </button>
      </div>
    </form>
  );
}

function VerdictChoice(props: {
  readonly verdict: Verdict['verdict'] | null;
  readonly onVerdict: (verdict: Verdict['verdict']) => void;
}): VNode {
  const name = useId();
  return (
    <fieldset class="verdicts">
      <legend>Was the alarm true?</legend>
      {VERDICT_CHOICES.map(({ value, words }) => (
        <label key={value} class="choice">
          <input
            type="radio"
            name={name}
            checked={props.verdict === value}
            onChange={() => props.onVerdict(value)}
          />
          {words}
        </label>
      ))}
    </fieldset>
  );
}

function FoundField(props: {
  readonly found: string;
  readonly onFound: (found: string) => void;
}): VNode {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>What was found there</label>
      <textarea
        id={id}
        rows={3}
        maxLength={FOUND_MOST_CHARACTERS}
        value={props.found}
        onInput={(event) => props.onFound(event.currentTarget.value)}
      />
    </div>
  );
}
