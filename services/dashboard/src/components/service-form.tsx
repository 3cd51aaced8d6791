import type { VNode } from 'preact';
import { useId, useState } from 'preact/hooks';
import { addServiceRecord } from '../api/client.ts';
import type { ActionCode, Phase, ServiceEntry, Unit } from '../api/types.ts';
import { SERVICE_ACTIONS } from '../words/service-actions.ts';
import { instantOfLocal, localFieldValue, zoneName } from '../words/times.ts';
import { FailureNote } from './failure-note.tsx';
import { Field } from './field.tsx';
import { useRequest } from './use-request.ts';

const PHASES: readonly Phase[] = ['a', 'b', 'c'];

/** Adds one record. `onDone` says whether something was added. */
export function ServiceForm(props: {
  readonly unit: Unit;
  readonly onDone: (added: boolean) => void;
}): VNode {
  const { unit, onDone } = props;
  const zone = unit.timezone;
  const [action, setAction] = useState<ActionCode>('inspection');
  const [local, setLocal] = useState(() => localFieldValue(Date.now(), zone));
  const [phases, setPhases] = useState<readonly Phase[]>([]);
  const [note, setNote] = useState('');
  const { busy, failure, run } = useRequest();
  const withPhases = SERVICE_ACTIONS.find(({ code }) => code === action)?.phases === true;
  const add = async (): Promise<void> => {
    const atMs = instantOfLocal(local, zone) ?? Date.now();
    const record: ServiceEntry = {
      time: new Date(atMs).toISOString(),
      action,
      ...(withPhases && phases.length > 0 ? { phases: [...phases] } : {}),
      ...(note.trim() === '' ? {} : { note: note.trim() }),
    };
    await addServiceRecord(unit.site, unit.unit, record);
    onDone(true);
  };
  return (
    <form
      class="service-form"
      onSubmit={(event) => {
        event.preventDefault();
        run(add);
      }}
    >
      <ActionChoice action={action} onAction={setAction} />
      <Field
        label={`When, at the site (${zoneName(Date.now(), zone)})`}
        type="datetime-local"
        value={local}
        onValue={setLocal}
        required
      />
      {withPhases ? <PhaseChoice phases={phases} onPhases={setPhases} /> : null}
      <NoteField note={note} onNote={setNote} />
      {failure === null ? null : <FailureNote failure={failure} />}
      <div class="buttons">
        <button type="submit" class="button button-strong" disabled={busy}>
          {busy ? 'Recording…' : 'Record it'}
        </button>
        <button type="button" class="button" onClick={() => onDone(false)}>
          Leave it
        </button>
      </div>
    </form>
  );
}

function ActionChoice(props: {
  readonly action: ActionCode;
  readonly onAction: (action: ActionCode) => void;
}): VNode {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>What was done</label>
      <select
        id={id}
        value={props.action}
        onChange={(event) => {
          const chosen = SERVICE_ACTIONS.find(({ code }) => code === event.currentTarget.value);
          if (chosen !== undefined) props.onAction(chosen.code);
        }}
      >
        {SERVICE_ACTIONS.map(({ code, label }) => (
          <option key={code} value={code}>
            {label}
          </option>
        ))}
      </select>
    </div>
  );
}

function PhaseChoice(props: {
  readonly phases: readonly Phase[];
  readonly onPhases: (phases: readonly Phase[]) => void;
}): VNode {
  const { phases, onPhases } = props;
  return (
    <fieldset class="phases">
      <legend>On which phases</legend>
      {PHASES.map((phase) => (
        <label key={phase} class="choice">
          <input
            type="checkbox"
            checked={phases.includes(phase)}
            onChange={(event) =>
              onPhases(
                event.currentTarget.checked
                  ? PHASES.filter((one) => one === phase || phases.includes(one))
                  : phases.filter((one) => one !== phase),
              )
            }
          />
          {phase.toUpperCase()}
        </label>
      ))}
    </fieldset>
  );
}

function NoteField(props: {
  readonly note: string;
  readonly onNote: (note: string) => void;
}): VNode {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>Note: marks seen, class and rating fitted, megohms, what is still open</label>
      <textarea
        id={id}
        rows={3}
        value={props.note}
        onInput={(event) => props.onNote(event.currentTarget.value)}
      />
    </div>
  );
}
