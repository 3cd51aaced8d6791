import { type Alarm, retainedPayload } from '@lineside/alarms';
import { alarmTopic } from '@lineside/readings';
import type { RecordStore } from '@lineside/storage';

export interface AlarmTopicsParts {
  readonly records: Pick<RecordStore, 'newestAlarms'>;
  readonly publish: (topic: string, payload: string) => Promise<void>;
}

interface ShownAlarm {
  readonly id: string;
  readonly raisedAtMs: number;
  readonly revision: number;
  readonly payload: string;
}

/**
 * Keeps each unit's retained topic of a kind at the newest alarm of that kind. The broker forgets
 * retained messages when the process ends, so everything is published anew at a start.
 */
export class AlarmTopics {
  readonly #parts: AlarmTopicsParts;
  readonly #shown = new Map<string, ShownAlarm>();

  constructor(parts: AlarmTopicsParts) {
    this.#parts = parts;
  }

  async show(alarms: readonly Alarm[]): Promise<void> {
    for (const [topic, states] of statesByTopic(alarms)) {
      if (this.#isNewestUnsure(topic, states)) {
        await this.#lookUp(topic, states);
      } else {
        await this.#showNewest(topic, states);
      }
    }
  }

  /** An alarm that is withdrawn, or raised at another time, may make another one the newest. */
  #isNewestUnsure(topic: string, states: readonly Alarm[]): boolean {
    const shown = this.#shown.get(topic);
    const raisedAtMs = new Map<string, number>();
    if (shown !== undefined) raisedAtMs.set(shown.id, shown.raisedAtMs);
    return states.some((alarm) => {
      const known = raisedAtMs.get(alarm.id) ?? alarm.raisedAtMs;
      raisedAtMs.set(alarm.id, alarm.raisedAtMs);
      return alarm.withdrawn || known !== alarm.raisedAtMs;
    });
  }

  async #lookUp(topic: string, [any]: readonly Alarm[]): Promise<void> {
    if (any === undefined) return;
    const newest = await this.#parts.records.newestAlarms({ site: any.site, unit: any.unit });
    await this.#put(topic, newest.find(({ kind }) => kind === any.kind) ?? null);
  }

  async #showNewest(topic: string, states: readonly Alarm[]): Promise<void> {
    const shown = this.#shown.get(topic);
    const newest = states.reduce((one, other) =>
      one.id === other.id || one.raisedAtMs <= other.raisedAtMs ? other : one,
    );
    // Acknowledging an alarm from last week must not replace the one that stands now, nor a state
    // that was looked up be replaced by one that the journal reaches later.
    const isOlder =
      shown !== undefined &&
      (shown.id === newest.id
        ? shown.revision > newest.revision
        : shown.raisedAtMs > newest.raisedAtMs);
    if (!isOlder) await this.#put(topic, newest);
  }

  async #put(topic: string, alarm: Alarm | null): Promise<void> {
    const payload = alarm === null ? '' : retainedPayload(alarm);
    if (payload !== (this.#shown.get(topic)?.payload ?? '')) {
      await this.#parts.publish(topic, payload);
    }
    if (alarm === null) {
      this.#shown.delete(topic);
      return;
    }
    const { id, raisedAtMs, revision } = alarm;
    this.#shown.set(topic, { id, raisedAtMs, revision, payload });
  }
}

/** States of alarms by topic, in the order of the list. */
function statesByTopic(alarms: readonly Alarm[]): ReadonlyMap<string, readonly Alarm[]> {
  const byTopic = new Map<string, Alarm[]>();
  for (const alarm of alarms) {
    const topic = alarmTopic(alarm.site, alarm.unit, alarm.kind);
    const states = byTopic.get(topic) ?? [];
    byTopic.set(topic, states);
    states.push(alarm);
  }
  return byTopic;
}
