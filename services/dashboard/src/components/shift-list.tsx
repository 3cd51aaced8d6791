import type { VNode } from 'preact';
import type { Shift } from '../api/types.ts';
import { callWords, listed, noteWords } from '../order/rota-words.ts';
import { useNow } from '../state/clock.ts';
import { weekdayAndTime, zoneName } from '../words/times.ts';
import { Who } from './team-now.tsx';

/** The coming shifts of one team, a list for each call. */
export function ShiftList(props: {
  readonly shifts: readonly Shift[];
  readonly zone: string;
  readonly own: string | null;
}): VNode {
  const { shifts, zone, own } = props;
  const second = shifts.filter(({ call }) => call === 'second');
  return (
    <div class="shift-lists">
      <OneCall shifts={shifts.filter(({ call }) => call === 'first')} zone={zone} own={own} />
      {second.length === 0 ? null : <OneCall shifts={second} zone={zone} own={own} />}
    </div>
  );
}

function OneCall(props: {
  readonly shifts: readonly Shift[];
  readonly zone: string;
  readonly own: string | null;
}): VNode | null {
  const nowMs = useNow();
  const { shifts, zone, own } = props;
  const [first] = shifts;
  if (first === undefined) return null;
  return (
    <div>
      <h4 class="minor">
        {callWords(first.call)}, from <span class="soft">(times in {zoneName(nowMs, zone)})</span>
      </h4>
      <ol class="shifts">
        {listed(shifts).map((shift) => (
          <li key={shift.id} class={shift.person === null ? 'shift shift-gap' : 'shift'}>
            <time dateTime={shift.from}>{weekdayAndTime(Date.parse(shift.from), zone, nowMs)}</time>
            <span>
              <Who shift={shift} own={own} />
              <span class="soft"> {noteWords(shift)}</span>
            </span>
          </li>
        ))}
      </ol>
    </div>
  );
}
