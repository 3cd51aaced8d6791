import type { VNode } from 'preact';
import { PRIORITY_WORDS } from '../words/vocabulary.ts';
import type { PageAlarm, PageAlarmDetail, PageSite } from './page-types.ts';
import { answeredWords, isOnTheWay, probablyWords, sinceWords } from './page-words.ts';

/** How urgent, where, what, since when, why, and whether somebody has answered. */
export function AlarmHead(props: {
  readonly alarm: PageAlarm;
  readonly detail: PageAlarmDetail | undefined;
  readonly site: PageSite | undefined;
  readonly heading: 'h1' | 'h2';
  readonly nowMs: number;
}): VNode {
  const { alarm, detail, site, heading: Title, nowMs } = props;
  const zone = site?.timezone ?? 'UTC';
  const probably = probablyWords(detail);
  return (
    <header class="alarm-head">
      <p class={`urgency ${alarm.standing ? alarm.priority : 'over'}`}>
        {alarm.standing ? PRIORITY_WORDS[alarm.priority] : `Over (was ${alarm.priority})`}
      </p>
      <Title>
        {alarm.unitName}
        <span class="site">{site?.name ?? alarm.site}</span>
      </Title>
      <p class="headline">{alarm.headline}</p>
      <p>{sinceWords(alarm, zone, nowMs)}</p>
      {probably !== null && <p>{probably}</p>}
      <p class="answered">
        {answeredWords(alarm, zone, nowMs)}
        {alarm.state === 'acknowledged' && isOnTheWay(detail) && <strong> On the way.</strong>}
      </p>
    </header>
  );
}
