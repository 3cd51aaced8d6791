import type { Alarm } from '@lineside/alarms';

/** `site/unit`. */
export function unitKeyOf({
  site,
  unit,
}: {
  readonly site: string;
  readonly unit: string;
}): string {
  return `${site}/${unit}`;
}

/** Alarms that are not over, by unit, as they were last heard of. */
export class OpenAlarms {
  readonly #byUnit = new Map<string, Map<string, Alarm>>();

  /** An older state than the one that is known is passed over. */
  note(alarm: Alarm): void {
    const key = unitKeyOf(alarm);
    const known = this.#byUnit.get(key)?.get(alarm.id);
    if (known !== undefined && known.revision > alarm.revision) return;
    if (alarm.state === 'normal') {
      this.forget(alarm);
      return;
    }
    const ofUnit = this.#byUnit.get(key) ?? new Map<string, Alarm>();
    this.#byUnit.set(key, ofUnit);
    ofUnit.set(alarm.id, alarm);
  }

  forget(alarm: Alarm): void {
    const key = unitKeyOf(alarm);
    const ofUnit = this.#byUnit.get(key);
    ofUnit?.delete(alarm.id);
    if (ofUnit?.size === 0) this.#byUnit.delete(key);
  }

  ofUnit(key: string): readonly Alarm[] {
    return [...(this.#byUnit.get(key)?.values() ?? [])];
  }

  units(): readonly string[] {
    return [...this.#byUnit.keys()];
  }
}
