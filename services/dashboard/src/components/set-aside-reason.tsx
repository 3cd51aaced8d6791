import type { VNode } from 'preact';
import { alarmJournal } from '../api/client.ts';
import type { Alarm, Unit } from '../api/types.ts';
import { setAsideWords } from '../words/set-aside.ts';
import { Moment } from './moment.tsx';
import { useAnswer } from './use-answer.ts';

/** Why an alarm asks nobody: by which other alarm, or with its unit. Nothing for any other. */
export function SetAsideReason(props: {
  readonly alarm: Alarm;
  readonly unit: Unit;
}): VNode | null {
  const { alarm, unit } = props;
  if (alarm.state === 'suppressed') return <Suppressed alarm={alarm} />;
  if (alarm.state !== 'out-of-service' || unit.hold === null) return null;
  return (
    <p>
      It is set aside with the unit until <Moment at={unit.hold.until} zone={unit.timezone} />.{' '}
      {unit.hold.owner} answers for it, because: {unit.hold.reason}
    </p>
  );
}

/** The journal says by which alarm, and why that one tells enough. */
function Suppressed({ alarm }: { readonly alarm: Alarm }): VNode | null {
  const { answer } = useAnswer(`${alarm.id} ${alarm.state}`, () => alarmJournal(alarm.id));
  const note = answer?.find(({ event }) => event === 'suppress')?.note ?? null;
  return note === null ? null : <p>{setAsideWords(note)}</p>;
}
