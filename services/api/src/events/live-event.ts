import { rfc3339 } from '@lineside/alarms';
import type { UnitCondition } from '@lineside/anomaly';
import type { Reading } from '@lineside/readings';
import { conditionJson } from '../answers/condition-json.ts';
import type { ConditionEventJson } from '../schemas/events.ts';

export type LiveEventType = 'reading' | 'condition';

/** A reading or a condition on its way to listeners; its JSON is written once, when first sent. */
export class LiveEvent {
  readonly type: LiveEventType;
  readonly sequence: number;
  readonly site: string;
  readonly unit: string;
  /** Event time. */
  readonly atMs: number;
  readonly #json: () => unknown;
  #data: string | null = null;

  private constructor(
    type: LiveEventType,
    sequence: number,
    of: { site: string; unit: string; atMs: number },
    json: () => unknown,
  ) {
    this.type = type;
    this.sequence = sequence;
    this.site = of.site;
    this.unit = of.unit;
    this.atMs = of.atMs;
    this.#json = json;
  }

  static reading(sequence: number, reading: Reading): LiveEvent {
    const { site, unit, atMs, channels } = reading;
    return new LiveEvent('reading', sequence, reading, () => ({
      ...{ site, unit, time: rfc3339(atMs) },
      ...channels,
    }));
  }

  static condition(
    sequence: number,
    site: string,
    unit: string,
    condition: UnitCondition,
  ): LiveEvent {
    const of = { site, unit, atMs: condition.atMs };
    return new LiveEvent(
      'condition',
      sequence,
      of,
      (): ConditionEventJson => ({
        site,
        unit,
        ...conditionJson(condition),
      }),
    );
  }

  data(): string {
    this.#data ??= JSON.stringify(this.#json());
    return this.#data;
  }
}
