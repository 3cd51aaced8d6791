import type { VNode } from 'preact';
import { acknowledge } from '../api/client.ts';
import type { Alarm, Unit } from '../api/types.ts';
import { isStanding, needOfAlarm } from '../order/urgency.ts';
import { DEFAULT_RANGE, formatRoute } from '../routes/route.ts';
import { loadFleet, putAlarm } from '../state/fleet.ts';
import { mayAct, sessionState } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { alarmStateWords, kindWords, PRIORITY_WORDS } from '../words/vocabulary.ts';
import { AlarmReasons } from './alarm-reasons.tsx';
import { FailureNote } from './failure-note.tsx';
import { Moment } from './moment.tsx';
import { NeedMark } from './need-mark.tsx';
import { useRequest } from './use-request.ts';

/** One alarm in full. `withUnit` names its unit, for lists over many units. */
export function AlarmEntry(props: {
  readonly alarm: Alarm;
  readonly unit: Unit;
  readonly withUnit: boolean;
}): VNode {
  const { alarm, unit, withUnit } = props;
  const Heading = withUnit ? 'h3' : 'h2';
  const need = needOfAlarm(alarm);
  return (
    <article class={withUnit ? 'alarm alarm-listed' : 'alarm'}>
      <NeedMark need={need} acknowledged={alarm.acknowledged !== null} />
      <div class="alarm-words">
        {withUnit ? (
          <p class="alarm-unit">
            <a
              href={formatRoute({
                screen: 'unit',
                site: unit.site,
                unit: unit.unit,
                range: DEFAULT_RANGE,
              })}
            >
              {unit.name}
            </a>
            <span class="entry-site"> {unit.siteName}</span>
          </p>
        ) : null}
        <Heading class="headline">{alarm.headline}</Heading>
        <p class="soft">
          {PRIORITY_WORDS[alarm.priority]} alarm ({kindWords(alarm.kind)}), raised{' '}
          <Moment at={alarm.raised} zone={unit.timezone} />
          {alarm.cleared === null ? null : (
            <>
              ; ended <Moment at={alarm.cleared} zone={unit.timezone} />
            </>
          )}
        </p>
        <Answer alarm={alarm} zone={unit.timezone} />
        <AlarmReasons
          alarm={alarm}
          unit={unit}
          open={!withUnit && isStanding(alarm)}
          heading={withUnit ? 'h4' : 'h3'}
        />
      </div>
    </article>
  );
}

/** Who has answered the alarm, or the button to do so. */
function Answer({ alarm, zone }: { readonly alarm: Alarm; readonly zone: string }): VNode {
  const allowed = mayAct(useStore(sessionState));
  return (
    <div class="answer">
      <p>
        {alarm.acknowledged === null ? (
          <strong>{capitalised(alarmStateWords(alarm.state))}</strong>
        ) : (
          <>
            Acknowledged{alarm.acknowledgedBy === null ? '' : ` by ${alarm.acknowledgedBy}`},{' '}
            <Moment at={alarm.acknowledged} zone={zone} />
          </>
        )}
        {alarm.shelvedUntil === null ? null : (
          <>
            ; shelved{alarm.shelvedBy === null ? '' : ` by ${alarm.shelvedBy}`} until{' '}
            <Moment at={alarm.shelvedUntil} zone={zone} />
            {alarm.shelveReason === null ? '' : `, because: ${alarm.shelveReason}`}
          </>
        )}
      </p>
      {alarm.acknowledged === null && allowed ? <AcknowledgeButton alarm={alarm} /> : null}
    </div>
  );
}

const capitalised = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

function AcknowledgeButton({ alarm }: { readonly alarm: Alarm }): VNode {
  const { busy, failure, run } = useRequest();
  return (
    <>
      <button
        type="button"
        class="button button-strong"
        disabled={busy}
        aria-label={`Acknowledge: ${alarm.headline}`}
        onClick={() => run(async () => putAlarm(await acknowledge(alarm.id)))}
      >
        {busy ? 'Sending…' : 'Acknowledge'}
      </button>
      {failure === null ? null : (
        <FailureNote failure={failure} onRetry={() => void loadFleet()} retryWords="Read it anew" />
      )}
    </>
  );
}
