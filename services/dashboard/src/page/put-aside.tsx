import type { VNode } from 'preact';
import { useId, useState } from 'preact/hooks';
import { dayAndTime, instantOfLocal, localFieldValue } from '../words/times.ts';
import type { Press } from './page-calls.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
/** The API refuses longer ones; a sentence or two. */
const REASON_MOST_CHARACTERS = 500;

interface End {
  readonly key: string;
  readonly words: string;
  readonly untilMs: number;
}

const MORNING = 'T08:00';

/** Ends that somebody chooses at night, in the site's time. */
function endsFrom(nowMs: number, zone: string): readonly End[] {
  const untilMorning = [0, DAY_MS]
    .map((laterMs) => localFieldValue(nowMs + laterMs, zone).slice(0, 10))
    .map((day) => instantOfLocal(`${day}${MORNING}`, zone) ?? 0)
    .find((atMs) => atMs > nowMs + HOUR_MS);
  return [
    { key: '4h', words: 'Four hours', untilMs: nowMs + 4 * HOUR_MS },
    { key: 'morning', words: 'The morning', untilMs: untilMorning ?? nowMs + DAY_MS },
    { key: '3d', words: 'Three days', untilMs: nowMs + 3 * DAY_MS },
  ];
}

/** Sets an alarm aside until a time, with a reason; folded until it is asked for. */
export function PutAside(props: {
  readonly zone: string;
  readonly about: string;
  readonly isSending: boolean;
  readonly send: (press: Press) => Promise<void>;
}): VNode {
  const { zone, about, isSending, send } = props;
  const id = useId();
  const [key, setKey] = useState('4h');
  const [reason, setReason] = useState('');
  const [fault, setFault] = useState('');
  const nowMs = Date.now();
  const ends = endsFrom(nowMs, zone);
  const submit = (event: Event): void => {
    event.preventDefault();
    if (reason.trim() === '') {
      setFault('Say why, in a word or two.');
      return;
    }
    setFault('');
    const untilMs = ends.find((end) => end.key === key)?.untilMs ?? nowMs + 4 * HOUR_MS;
    const until = new Date(untilMs).toISOString();
    if (!isSending) void send({ action: 'shelve', until, reason: reason.trim() });
  };
  return (
    <details class="aside">
      <summary class="press">Put aside …</summary>
      <form onSubmit={submit}>
        <fieldset>
          <legend>Until when</legend>
          {ends.map((end) => (
            <label key={end.key} class="choice">
              <input
                type="radio"
                name={id}
                checked={end.key === key}
                onChange={() => setKey(end.key)}
              />
              <span>
                {end.words} <span class="soft">({dayAndTime(end.untilMs, zone, nowMs)})</span>
              </span>
            </label>
          ))}
        </fieldset>
        <label class="reason" for={`${id}-why`}>
          Why
        </label>
        <input
          id={`${id}-why`}
          type="text"
          value={reason}
          maxLength={REASON_MOST_CHARACTERS}
          autocomplete="off"
          aria-invalid={fault !== ''}
          aria-describedby={`${id}-fault`}
          onInput={(event) => setReason(event.currentTarget.value)}
        />
        <p id={`${id}-fault`} class="fault" role="alert">
          {fault}
        </p>
        <button type="submit" class="press" aria-label={`Put it aside: ${about}`}>
          Put it aside{isSending && ' …'}
        </button>
      </form>
    </details>
  );
}
