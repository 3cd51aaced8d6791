/** Ten days of invented readings of a few units, with most kinds of trouble in them. */

/** A line of a back-test's file. */
export interface Line {
  readonly site: string;
  readonly unit: string;
  readonly time: string;
  readonly [channel: string]: string | number;
}

interface ServiceLine {
  readonly site: string;
  readonly unit: string;
  readonly time: string;
  readonly action: string;
  readonly phases?: readonly string[];
}

export interface InventedHistory {
  /** By event time. */
  readonly readings: readonly Line[];
  readonly weather: readonly Line[];
  readonly services: readonly ServiceLine[];
}

const MINUTE_MS = 60_000;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;
const DAYS = 10;
const CADENCE_MS = 5 * MINUTE_MS;
const REPORT_MS = 20 * MINUTE_MS;

export function inventedHistory(
  startMs: number,
  units: readonly (readonly [site: string, unit: string])[],
): InventedHistory {
  const readings: Line[] = [];
  const weather: Line[] = [];
  for (let atMs = startMs; atMs < startMs + DAYS * DAY_MS; atMs += CADENCE_MS) {
    for (const [index, [site, unit]] of units.entries()) {
      const own = atMs + index * 7_000;
      readings.push({ site, unit, time: timeOf(own), ...channelsAt(own - startMs, index) });
    }
    if ((atMs - startMs) % REPORT_MS === 0) {
      const [first] = units;
      weather.push({ site: first?.[0] ?? '', unit: 'weather', time: timeOf(atMs), ...airAt(atMs) });
    }
  }
  const services = units.flatMap(([site, unit], index) =>
    [2, 4.5, 7].map((day) => ({
      site,
      unit,
      time: timeOf(startMs + day * DAY_MS + index * 13 * MINUTE_MS),
      action: index === 1 && day === 4.5 ? 'inspection' : 'fuses-replaced',
      ...(index === 1 && day === 4.5 ? {} : { phases: ['a', 'c'] }),
    })),
  );
  return { readings, weather, services };
}

const SENML_UNITS: Readonly<Record<string, string>> = {
  rh: '%RH',
  t: 'Cel',
  tp: 'Cel',
  leak: 'mA',
  ia: 'A',
  ib: 'A',
  ic: 'A',
  rain: 'mm',
  wind: 'm/s',
};

/** SenML in JSON, with the numbers of the lines. */
export function packOf(lines: readonly Line[]): string {
  const records = lines.flatMap(({ site: _site, unit: _unit, time, ...channels }) =>
    Object.entries(channels).map(([n, v]) => ({
      n,
      u: SENML_UNITS[n],
      v,
      t: Date.parse(time) / 1000,
    })),
  );
  return JSON.stringify(records);
}

/** The same in another order, which `seed` chooses. */
export function shuffled<T>(list: readonly T[], seed: number): T[] {
  const mixed = [...list];
  let state = seed;
  for (let index = mixed.length - 1; index > 0; index--) {
    state = (Math.imul(state, 1_103_515_245) + 12_345) & 0x7fff_ffff;
    const other = state % (index + 1);
    const kept = mixed[index] as T;
    mixed[index] = mixed[other] as T;
    mixed[other] = kept;
  }
  return mixed;
}

function channelsAt(sinceMs: number, index: number): Record<string, number> {
  const day = sinceMs / DAY_MS;
  const hour = (sinceMs % DAY_MS) / HOUR_MS;
  const wobble = (((sinceMs / CADENCE_MS) * 7_919 + index * 104_729) % 101) / 101;
  const within = (from: number, hours: number): boolean =>
    day >= from + index / 8 && day < from + index / 8 + hours / 24;
  const night = Math.cos((2 * Math.PI * (hour - 4)) / 24);
  const humidity = 70 + 22 * night + 2 * wobble + (within(5, 20) ? 6 : 0);
  const leak =
    1.1 +
    0.1 * wobble +
    (within(3, 5) ? 13 : 0) +
    (within(6, 2) ? 32 : 0) +
    (within(8, 30) ? 5 : 0);
  const running = hour >= 8 && hour < 17;
  const phases = { ia: 0.42 + 0.01 * wobble, ib: 0.41, ic: 0.01 };
  if (running) Object.assign(phases, { ia: 17.2 + 0.1 * wobble, ib: 17, ic: 17.3 });
  if (running && within(4.4, 3)) Object.assign(phases, { ia: 21.5, ib: 17, ic: 16 });
  if (running && within(7.4, 0.5)) Object.assign(phases, { ia: 29.5, ib: 0.1, ic: 29.8 });
  if (within(9, 14)) Object.assign(phases, { ia: 0.003, ib: 0.002, ic: 0.001 });
  return {
    rh: rounded(Math.min(100, humidity)),
    t: rounded(9 - 5 * night + wobble),
    tp: rounded(8 - 6 * night),
    leak: rounded(within(9, 14) ? 0 : leak),
    ia: rounded(phases.ia),
    ib: rounded(phases.ib),
    ic: rounded(phases.ic),
  };
}

function airAt(atMs: number): Record<string, number> {
  const hour = (atMs % DAY_MS) / HOUR_MS;
  const night = Math.cos((2 * Math.PI * (hour - 4)) / 24);
  const rain = hour >= 1 && hour < 3 ? 0.6 : 0;
  return { rh: rounded(74 + 18 * night), t: rounded(8 - 5 * night), rain, wind: 4 };
}

function rounded(value: number): number {
  return Math.round(value * 1000) / 1000;
}

function timeOf(atMs: number): string {
  return new Date(atMs).toISOString();
}
