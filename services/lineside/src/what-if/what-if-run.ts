import type { Alarm } from '@lineside/alarms';
import type { WhatIfQuestion, WhatIfState } from '@lineside/api';
import type { Unit } from '@lineside/fleet';
import { judgeOtherwise, type OtherwiseParts } from '@lineside/ingest';
import type { RecordStore } from '@lineside/storage';

export type WhatIfAnswer = NonNullable<WhatIfState['answer']>;
type WhatIfCount = WhatIfAnswer['counts'][number];

export interface WhatIfParts extends OtherwiseParts {
  readonly records: OtherwiseParts['records'] & Pick<RecordStore, 'alarms'>;
}

/** Alarms read at once. */
const PAGE = 1_000;

/**
 * Judges stored history with other limits; the journal is only read.
 *
 * @param signal ends it between two units: it then rejects with the signal's reason.
 * @param onUnit called after each unit with how many are done.
 */
export async function runWhatIf(
  parts: WhatIfParts,
  { units, limits, fromMs, toMs }: WhatIfQuestion,
  signal: AbortSignal,
  onUnit: (done: number) => void,
): Promise<WhatIfAnswer> {
  const alarms: Alarm[] = [];
  for (const [index, unit] of units.entries()) {
    signal.throwIfAborted();
    alarms.push(...(await judgeOtherwise(parts, unit, limits, { fromMs, toMs })));
    onUnit(index + 1);
  }
  const actual = await actualAlarms(parts.records, units, fromMs, toMs);
  signal.throwIfAborted();
  alarms.sort((one, other) => one.raisedAtMs - other.raisedAtMs);
  return { alarms, counts: countsOf(actual, alarms) };
}

/** The alarms that there were, without those of silence and clocks, which readings do not tell. */
async function actualAlarms(
  records: Pick<RecordStore, 'alarms'>,
  units: readonly Unit[],
  fromMs: number,
  toMs: number,
): Promise<readonly Alarm[]> {
  const sites = [...new Set(units.map(({ site }) => site))];
  const wanted = new Set(units.map(({ site, id }) => `${site}/${id}`));
  const found: Alarm[] = [];
  for (let cursor: string | null = null; ; ) {
    const page = await records.alarms({ sites, fromMs, toMs, limit: PAGE, cursor });
    for (const alarm of page.items) {
      const isReceived = alarm.kind === 'silent' || 'refusedReadings' in alarm.evidence;
      if (wanted.has(`${alarm.site}/${alarm.unit}`) && !isReceived) found.push(alarm);
    }
    if (page.next === null) return found;
    cursor = page.next;
  }
}

function countsOf(actual: readonly Alarm[], would: readonly Alarm[]): readonly WhatIfCount[] {
  const counts = new Map<string, { -readonly [key in keyof WhatIfCount]: WhatIfCount[key] }>();
  const count = ({ kind, priority }: Alarm, side: 'actual' | 'would'): void => {
    const key = `${kind} ${priority}`;
    const entry = counts.get(key) ?? { kind, priority, actual: 0, would: 0 };
    entry[side] += 1;
    counts.set(key, entry);
  };
  for (const alarm of actual) count(alarm, 'actual');
  for (const alarm of would) count(alarm, 'would');
  return [...counts.entries()].sort(([one], [other]) => (one < other ? -1 : 1)).map(([, c]) => c);
}
