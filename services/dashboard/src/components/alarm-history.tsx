import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { alarmJournal } from '../api/client.ts';
import type { Alarm, AlarmJournalEntry } from '../api/types.ts';
import { eventWords } from '../words/alarm-events.ts';
import { FailureNote } from './failure-note.tsx';
import { Moment } from './moment.tsx';
import { useRequest } from './use-request.ts';

/** What happened to the alarm, who did it and why; read when it is unfolded. */
export function AlarmHistory({
  alarm,
  zone,
}: {
  readonly alarm: Alarm;
  readonly zone: string;
}): VNode {
  const [isOpen, setIsOpen] = useState(false);
  return (
    <details class="reasons history" onToggle={(event) => setIsOpen(event.currentTarget.open)}>
      <summary>What happened to it, and who did it</summary>
      {isOpen ? <Lines alarm={alarm} zone={zone} /> : null}
    </details>
  );
}

function Lines({ alarm, zone }: { readonly alarm: Alarm; readonly zone: string }): VNode {
  const [entries, setEntries] = useState<readonly AlarmJournalEntry[] | null>(null);
  const { failure, run } = useRequest();
  const read = (): void => run(async () => setEntries(await alarmJournal(alarm.id)));
  useEffect(read, [alarm]);
  if (failure !== null) return <FailureNote failure={failure} onRetry={read} />;
  if (entries === null) return <p class="soft">Reading the journal…</p>;
  return (
    <ol class="plain-list">
      {entries.map(({ sequence, time, event, by, note }) => (
        <li key={sequence}>
          <span>
            {eventWords(event)}
            {by === 'watch' || by === 'clock' ? '' : ` by ${by}`}
            {note === null ? '' : `: ${note}`}
          </span>
          <span class="soft">
            <Moment at={time} zone={zone} />
          </span>
        </li>
      ))}
    </ol>
  );
}
