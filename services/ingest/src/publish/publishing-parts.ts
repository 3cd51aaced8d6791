import type { IngestDependencies } from '../ingest.ts';
import { AlarmTopics } from './alarm-topics.ts';
import { JournalTail } from './journal-tail.ts';
import { ShelfClock } from './shelf-clock.ts';
import { SilencingClock } from './silencing-clock.ts';

export interface PublishingParts {
  readonly tail: JournalTail;
  readonly shelves: ShelfClock;
  readonly silencing: SilencingClock;
}

interface PublishingHooks {
  readonly publishRetained: (topic: string, payload: string) => Promise<void>;
  /** Called after an alarm left its shelf, was set aside or brought back. */
  readonly onAlarms: () => void;
  /** Called when the journal has grown, whoever wrote it. */
  readonly onJournal: () => void;
}

export function createPublishingParts(
  { records, clock, log }: IngestDependencies,
  hooks: PublishingHooks,
): PublishingParts {
  const topics = new AlarmTopics({ records, publish: hooks.publishRetained });
  const shelves = new ShelfClock({ records, clock, log, onAlarms: hooks.onAlarms });
  const silencing = new SilencingClock({ records, clock, log, onAlarms: hooks.onAlarms });
  const tail = new JournalTail({
    records,
    log,
    onGrowth: hooks.onJournal,
    onAlarms: async (alarms) => {
      shelves.note(alarms);
      silencing.note(alarms);
      await topics.show(alarms);
    },
  });
  return { tail, shelves, silencing };
}
