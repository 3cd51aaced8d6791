import type { VNode } from 'preact';
import { alarmJournal } from '../api/client.ts';
import type { Alarm, Unit } from '../api/types.ts';
import { setAsideWords } from '../words/set-aside.ts';
import { Moment } from './moment.tsx';
import { useAnswer } from './use-answer.ts';

/**
 * Why an alarm asks nobody: by which other alarm, or with its unit. `withUnit` in lists over many
 * units: there the journal of each would be too much, and the page of a unit says itself that it is
 * out of service.
 */
export function SetAsideReason(props: {
  readonly alarm: Alarm;
  readonly unit: Unit;
  readonly withUnit: boolean;
}): VNode | null {
  const { alarm, unit, withUnit } = props;
  if (alarm.state === 'suppressed' && !withUnit) return <Suppressed alarm={alarm} />;
  if (alarm.state !== 'out-of-service' || unit.hold === null || !withUnit) return null;
  return (
    <p>
      Set aside with the unit until <Moment at={unit.hold.until} zone={unit.timezone} />.{' '}
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
