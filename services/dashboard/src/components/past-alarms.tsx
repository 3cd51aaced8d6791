import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { alarmsOfUnit } from '../api/client.ts';
import type { Alarm, Unit } from '../api/types.ts';
import { isOpen } from '../order/urgency.ts';
import { duration } from '../words/times.ts';
import { kindWords, PRIORITY_WORDS } from '../words/vocabulary.ts';
import { AlarmHistory } from './alarm-history.tsx';
import { Findings, OwnVerdict, useVerdicts } from './alarm-truth.tsx';
import { FailureNote } from './failure-note.tsx';
import { Moment } from './moment.tsx';
import { useAnswer } from './use-answer.ts';

/** A season: what was found there may be said weeks later. */
const PAST_DAYS = 90;
const DAY_MS = 86_400_000;
/** Each line asks for its verdicts. */
const LINES_AT_FIRST = 8;
const LINES_MORE = 20;

/** Alarms of the unit that are back to normal, and whether they were true. */
export function PastAlarms(props: { readonly unit: Unit; readonly open: readonly Alarm[] }): VNode {
  const { site, unit, timezone } = props.unit;
  const [lines, setLines] = useState(LINES_AT_FIRST);
  // One that goes back to normal is past from then on.
  const question = [site, unit, ...props.open.map(({ id }) => id)].join(' ');
  const { answer, failure, readAnew } = useAnswer(question, () => {
    const nowMs = Date.now();
    return alarmsOfUnit(site, unit, nowMs - PAST_DAYS * DAY_MS, nowMs);
  });
  const past = (answer ?? []).filter((alarm) => !isOpen(alarm));
  return (
    <section class="unit-past" aria-labelledby="past-heading">
      <h2 id="past-heading">Alarms of the last {PAST_DAYS} days, back to normal</h2>
      {failure === null ? null : <FailureNote failure={failure} onRetry={readAnew} />}
      {answer !== null && past.length === 0 ? <p class="soft">There were none.</p> : null}
      <ul class="log">
        {past.slice(0, lines).map((alarm) => (
          <PastAlarm key={alarm.id} alarm={alarm} zone={timezone} />
        ))}
      </ul>
      {past.length > lines ? (
        <button type="button" class="button" onClick={() => setLines(lines + LINES_MORE)}>
          Show {Math.min(past.length - lines, LINES_MORE)} more of {past.length}
        </button>
      ) : null}
    </section>
  );
}

function PastAlarm({ alarm, zone }: { readonly alarm: Alarm; readonly zone: string }): VNode {
  const verdicts = useVerdicts(alarm);
  return (
    <li class="past-alarm">
      <h3 class="minor">{alarm.headline}</h3>
      <p class="soft">
        {PRIORITY_WORDS[alarm.priority]} alarm ({kindWords(alarm.kind)}), raised{' '}
        <Moment at={alarm.raised} zone={zone} />
        {alarm.cleared === null
          ? null
          : `; stood ${duration(Date.parse(alarm.cleared) - Date.parse(alarm.raised))}`}
        {alarm.acknowledgedBy === null ? '' : `; acknowledged by ${alarm.acknowledgedBy}`}
      </p>
      <Findings verdicts={verdicts} zone={zone} />
      <div class="folds">
        <AlarmHistory alarm={alarm} zone={zone} />
        <details class="reasons truth">
          <summary>Was it true?</summary>
          <OwnVerdict alarm={alarm} verdicts={verdicts} />
        </details>
      </div>
    </li>
  );
}
