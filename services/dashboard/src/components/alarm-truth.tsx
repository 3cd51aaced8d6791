import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { verdictsOf } from '../api/alarm-life-client.ts';
import type { Alarm, Verdict } from '../api/types.ts';
import { mayAct, sessionState } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { findingWords } from '../words/verdicts.ts';
import { FailureNote } from './failure-note.tsx';
import { Moment } from './moment.tsx';
import { type AnswerState, useAnswer } from './use-answer.ts';
import { VerdictForm } from './verdict-form.tsx';

export type VerdictsState = AnswerState<readonly Verdict[]>;

/** What people found of an alarm. */
export function useVerdicts(alarm: Alarm): VerdictsState {
  return useAnswer(alarm.id, () => verdictsOf(alarm.id));
}

/** Whether an alarm was true, folded away and read when it is unfolded. */
export function AlarmTruth(props: { readonly alarm: Alarm; readonly zone: string }): VNode {
  const [isOpen, setIsOpen] = useState(false);
  return (
    <details class="reasons truth" onToggle={(event) => setIsOpen(event.currentTarget.open)}>
      <summary>Was it true?</summary>
      {isOpen ? <LateTruth {...props} /> : null}
    </details>
  );
}

function LateTruth({ alarm, zone }: { readonly alarm: Alarm; readonly zone: string }): VNode {
  const verdicts = useVerdicts(alarm);
  return (
    <>
      <Findings verdicts={verdicts} zone={zone} />
      <OwnVerdict alarm={alarm} verdicts={verdicts} />
    </>
  );
}

/** What each person said of it. */
export function Findings(props: {
  readonly verdicts: VerdictsState;
  readonly zone: string;
}): VNode | null {
  const { answer, failure, readAnew } = props.verdicts;
  if (failure !== null) return <FailureNote failure={failure} onRetry={readAnew} />;
  if (answer === null) return null;
  if (answer.length === 0) return <p class="soft">Nobody has said yet whether it was true.</p>;
  return (
    <ul class="findings">
      {answer.map((verdict) => (
        <li key={verdict.by}>
          {findingWords(verdict)}{' '}
          <span class="soft">
            {verdict.by}, <Moment at={verdict.time} zone={props.zone} />
          </span>
        </li>
      ))}
    </ul>
  );
}

/** The form for whoever may answer alarms, once it is known what they said before. */
export function OwnVerdict(props: {
  readonly alarm: Alarm;
  readonly verdicts: VerdictsState;
}): VNode | null {
  const { alarm, verdicts } = props;
  const session = useStore(sessionState);
  if (!mayAct(session) || session.state !== 'signed-in' || verdicts.answer === null) return null;
  const { username } = session.session.person;
  const before = verdicts.answer.find(({ by }) => by === username) ?? null;
  return <VerdictForm alarm={alarm} before={before} onGiven={verdicts.readAnew} />;
}
