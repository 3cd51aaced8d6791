import type { StoredWeek, StoreStatus } from '@lineside/storage';

const NOT_TOLD = 'the store does not tell';
const LABEL_WIDTH = 11;

/** The state of a store as lines for people. */
export function statusText(status: StoreStatus): string {
  const { failure, sums, lacks, weeks } = status;
  const waiting = sums.lateDays === 0 ? '' : `; ${late(sums.lateDays)} to be summed up again`;
  const lines = [
    line('store', `${kindOf(status)}, ${status.where}`),
    line('usable', failure === null ? 'yes' : `no: ${failure}`),
    line('retention', `${status.retention.wantedDays} days wanted; ${status.retention.words}`),
    line('readings', readingsOf(status)),
    line('times', timesOf(status)),
    line('size', sizeOf(status)),
    line('quarters', `${sums.words}${waiting}`),
    ...section('weeks', weeks.map(weekLine)),
    ...section(
      'it cannot do',
      Object.entries(lacks).map(([what, why]) => `${what}: ${why}`),
    ),
  ];
  return `${lines.join('\n')}\n`;
}

/** The same for programs; times as in the HTTP interface. */
export function statusJson(status: StoreStatus): string {
  const { oldestMs, newestMs, sums, weeks, failure, ...rest } = status;
  const { beforeMs, ...ofSums } = sums;
  const fields = {
    ...rest,
    usable: failure === null,
    failure,
    oldest: iso(oldestMs),
    newest: iso(newestMs),
    sums: { ...ofSums, before: iso(beforeMs) },
    weeks: weeks.map(({ startMs, ...week }) => ({ start: iso(startMs), ...week })),
  };
  return `${JSON.stringify(fields, null, 2)}\n`;
}

function line(label: string, words: string): string {
  return `${label.padEnd(LABEL_WIDTH)}${words}`;
}

function section(title: string, lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : [title, ...lines.map((one) => `  ${one}`)];
}

function kindOf({ kind, version, generation }: StoreStatus): string {
  if (kind === 'sqlite') return 'SQLite';
  return generation === null ? 'InfluxDB' : `InfluxDB ${version} (generation ${generation})`;
}

function late(days: number): string {
  return days === 1 ? '1 day of a unit waits' : `${number(days)} days of units wait`;
}

function readingsOf({ units, readings, values }: StoreStatus): string {
  if (units === null || readings === null || values === null) return NOT_TOLD;
  const of = units === 1 ? '1 unit' : `${number(units)} units`;
  return `${number(readings)} at least (${number(values)} values) of ${of}`;
}

function timesOf({ oldestMs, newestMs }: StoreStatus): string {
  if (oldestMs === null || newestMs === null) return 'no reading';
  return `${iso(oldestMs)} to ${iso(newestMs)}`;
}

function sizeOf({ bytes, freeBytes }: StoreStatus): string {
  const size = bytes === null ? NOT_TOLD : megabytes(bytes);
  return freeBytes === null ? size : `${size}; ${megabytes(freeBytes)} free on the disk`;
}

function weekLine({ startMs, bytes, units, readings, quarters, failure }: StoredWeek): string {
  const day = iso(startMs)?.slice(0, 10);
  if (failure !== null) return `${day}  ${megabytes(bytes)}  ${failure}`;
  return (
    `${day}  ${megabytes(bytes)}  ${number(units)} units  ${number(readings)} readings  ` +
    `${number(quarters)} quarters`
  );
}

function megabytes(bytes: number): string {
  return `${(bytes / 1e6).toLocaleString('en', { maximumFractionDigits: 1 })} MB`;
}

function number(count: number): string {
  return count.toLocaleString('en');
}

function iso(atMs: number | null): string | null {
  return atMs === null ? null : new Date(atMs).toISOString();
}
