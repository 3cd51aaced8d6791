import { type Alarm, retainedPayload } from '@lineside/alarms';
import { alarmTopic } from '@lineside/readings';

interface ShownAlarm {
  readonly id: string;
  readonly raisedAtMs: number;
  readonly payload: string;
}

/**
 * Keeps each unit's retained topic of a kind at the newest alarm of that kind. The broker forgets
 * retained messages when the process ends, so everything is published anew at a start.
 */
export class AlarmTopics {
  readonly #publish: (topic: string, payload: string) => Promise<void>;
  readonly #shown = new Map<string, ShownAlarm>();

  constructor(publish: (topic: string, payload: string) => Promise<void>) {
    this.#publish = publish;
  }

  async show(alarms: readonly Alarm[]): Promise<void> {
    for (const [topic, alarm] of newestOf(alarms)) {
      const shown = this.#shown.get(topic);
      // Acknowledging an alarm from last week must not replace the one that stands now.
      if (shown !== undefined && shown.id !== alarm.id && shown.raisedAtMs > alarm.raisedAtMs) {
        continue;
      }
      const payload = retainedPayload(alarm);
      if (payload !== (shown?.payload ?? '')) {
        await this.#publish(topic, payload);
      }
      this.#shown.set(topic, { id: alarm.id, raisedAtMs: alarm.raisedAtMs, payload });
    }
  }
}

/** The newest alarm of each topic; of one alarm its last state in the list. */
function newestOf(alarms: readonly Alarm[]): Map<string, Alarm> {
  const newest = new Map<string, Alarm>();
  for (const alarm of alarms) {
    const topic = alarmTopic(alarm.site, alarm.unit, alarm.kind);
    const other = newest.get(topic);
    if (other === undefined || other.id === alarm.id || other.raisedAtMs <= alarm.raisedAtMs) {
      newest.set(topic, alarm);
    }
  }
  return newest;
}
