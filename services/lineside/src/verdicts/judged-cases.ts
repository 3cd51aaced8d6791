import type { JudgedCase } from '@lineside/alarms';
import type { SortItem } from '../backtest/external-sort.ts';
import { alarmFromLine } from '../backtest/outcome-lines.ts';

/** Passes alarm lines on, and keeps what cases of these units are compared with. */
export async function* noting(
  batches: AsyncIterable<readonly SortItem[]>,
  isWanted: (site: string, unit: string) => boolean,
  into: JudgedCase[],
): AsyncGenerator<readonly SortItem[]> {
  for await (const items of batches) {
    for (const { text } of items) {
      const alarm = alarmFromLine(text);
      if (isWanted(alarm.site, alarm.unit)) into.push(judgedCase(alarm));
    }
    yield items;
  }
}

function judgedCase(alarm: ReturnType<typeof alarmFromLine>): JudgedCase {
  const { site, unit, kind, raised, cleared, causes } = alarm;
  const clearedAtMs = cleared === null ? null : Date.parse(cleared);
  const cause = causes[0]?.cause ?? 'unknown';
  return { site, unit, kind, raisedAtMs: Date.parse(raised), clearedAtMs, cause };
}
