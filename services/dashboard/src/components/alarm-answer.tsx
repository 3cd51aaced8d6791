import type { VNode } from 'preact';
import { acknowledge, handOn, unshelve } from '../api/client.ts';
import type { Alarm } from '../api/types.ts';
import { actionsIn } from '../order/alarm-actions.ts';
import { loadFleet, putAlarm } from '../state/fleet.ts';
import { mayAct, sessionState } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { alarmStateWords } from '../words/vocabulary.ts';
import { AlarmHistory } from './alarm-history.tsx';
import { AlarmNote } from './alarm-note.tsx';
import { AlarmTruth } from './alarm-truth.tsx';
import { FailureNote } from './failure-note.tsx';
import { Moment } from './moment.tsx';
import { ShelveForm } from './shelve-form.tsx';
import { useRequest } from './use-request.ts';

/** Who has answered the alarm and how, and the answer that takes one press. */
export function AlarmAnswer(props: { readonly alarm: Alarm; readonly zone: string }): VNode {
  const { alarm, zone } = props;
  const allowed = mayAct(useStore(sessionState));
  const actions = actionsIn(alarm.state);
  return (
    <div class="answer">
      <p>
        <State alarm={alarm} zone={zone} />
      </p>
      {allowed && actions.acknowledge ? (
        <ActionButton
          alarm={alarm}
          words="Acknowledge"
          isStrong
          request={() => acknowledge(alarm.id)}
        />
      ) : null}
      {allowed && actions.unshelve ? (
        <ActionButton
          alarm={alarm}
          words="Take it off the shelf"
          request={() => unshelve(alarm.id)}
        />
      ) : null}
    </div>
  );
}

/** What else can be done to the alarm and said of it, folded away side by side. */
export function AlarmFolds(props: { readonly alarm: Alarm; readonly zone: string }): VNode {
  const allowed = mayAct(useStore(sessionState));
  return (
    <div class="folds">
      {allowed ? <MoreActions {...props} /> : null}
      <AlarmHistory {...props} />
      <AlarmTruth {...props} />
    </div>
  );
}

function State({ alarm, zone }: { readonly alarm: Alarm; readonly zone: string }): VNode {
  if (alarm.acknowledged === null && alarm.shelvedUntil === null) {
    return <strong>{capitalised(alarmStateWords(alarm.state))}</strong>;
  }
  const isSetAside = alarm.state === 'suppressed' || alarm.state === 'out-of-service';
  return (
    <>
      {isSetAside ? <strong>{capitalised(alarmStateWords(alarm.state))}; </strong> : null}
      {alarm.acknowledged === null ? null : (
        <>
          Acknowledged{by(alarm.acknowledgedBy)}, <Moment at={alarm.acknowledged} zone={zone} />
        </>
      )}
      {alarm.acknowledged === null || alarm.shelvedUntil === null ? '' : '; '}
      {alarm.shelvedUntil === null ? null : (
        <>
          <strong>Shelved</strong>
          {by(alarm.shelvedBy)} until <Moment at={alarm.shelvedUntil} zone={zone} />
          {alarm.shelveReason === null ? '' : `, because: ${alarm.shelveReason}`}
        </>
      )}
    </>
  );
}

const by = (name: string | null): string => (name === null ? '' : ` by ${name}`);

const capitalised = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** A note with the acknowledgement, handing on, shelving: one step away from the quick answer. */
function MoreActions({
  alarm,
  zone,
}: {
  readonly alarm: Alarm;
  readonly zone: string;
}): VNode | null {
  const actions = actionsIn(alarm.state);
  if (!actions.acknowledge && !actions.shelve) return null;
  const offered = [
    ...(actions.acknowledge ? ['add a note'] : []),
    ...(actions.handOn ? ['hand on'] : []),
    ...(actions.shelve ? ['shelve'] : []),
  ].join(', ');
  return (
    <details class="reasons more-actions">
      <summary>{capitalised(offered)}</summary>
      <div class="more-actions-body">
        {actions.acknowledge ? (
          <AlarmNote
            alarm={alarm}
            handOn={actions.handOn ? (note) => handOn(alarm.id, note) : null}
            acknowledge={(note) => acknowledge(alarm.id, note)}
          />
        ) : null}
        {actions.shelve ? <ShelveForm alarm={alarm} zone={zone} /> : null}
      </div>
    </details>
  );
}

function ActionButton(props: {
  readonly alarm: Alarm;
  readonly words: string;
  readonly isStrong?: boolean;
  readonly request: () => Promise<Alarm>;
}): VNode {
  const { alarm, words, isStrong, request } = props;
  const { busy, failure, run } = useRequest();
  return (
    <>
      <button
        type="button"
        class={isStrong === true ? 'button button-strong' : 'button'}
        disabled={busy}
        aria-label={`${words}: ${alarm.headline}`}
        onClick={() => run(async () => putAlarm(await request()))}
      >
        {busy ? 'Sending…' : words}
      </button>
      {failure === null ? null : (
        <FailureNote failure={failure} onRetry={() => void loadFleet()} retryWords="Read it anew" />
      )}
    </>
  );
}
