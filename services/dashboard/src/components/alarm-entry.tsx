import type { VNode } from 'preact';
import type { Alarm, Unit } from '../api/types.ts';
import { isStanding, needOfAlarm } from '../order/urgency.ts';
import { DEFAULT_RANGE, formatRoute } from '../routes/route.ts';
import { kindWords, PRIORITY_WORDS } from '../words/vocabulary.ts';
import { AlarmAnswer, AlarmFolds } from './alarm-answer.tsx';
import { AlarmReasons } from './alarm-reasons.tsx';
import { Moment } from './moment.tsx';
import { NeedMark } from './need-mark.tsx';
import { SetAsideReason } from './set-aside-reason.tsx';

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
        <SetAsideReason alarm={alarm} unit={unit} withUnit={withUnit} />
        <AlarmAnswer alarm={alarm} zone={unit.timezone} />
        {withUnit ? null : <AlarmFolds alarm={alarm} zone={unit.timezone} />}
        <AlarmReasons
          alarm={alarm}
          unit={unit}
          open={!withUnit && isStanding(alarm)}
          heading={withUnit ? 'h4' : 'h3'}
        />
        {withUnit ? <AlarmFolds alarm={alarm} zone={unit.timezone} /> : null}
      </div>
    </article>
  );
}
