/** One hourly report of a real weather station. Null: not reported. */
export interface HourlyReport {
  readonly atMs: number;
  readonly celsius: number | null;
  /** Over liquid water, also below 0 C. */
  readonly humidityPercent: number | null;
  readonly windFromDegrees: number | null;
  readonly windMetresPerSecond: number | null;
  /** Water of the hour that ends with the report, mm. */
  readonly precipitationMm: number | null;
  readonly pressurePascals: number | null;
}

const METRES_PER_SECOND_PER_MILE_PER_HOUR = 0.447_04;
const MM_PER_INCH = 25.4;
const PASCALS_PER_MILLIBAR = 100;

/**
 * Reads hourly reports from CSV with the columns `origin temp humid wind_dir wind_speed precip
 * pressure time_hour` in any order: degrees Fahrenheit, per cent, degrees, miles an hour, inches,
 * millibars, RFC 3339. `NA` and nothing mean that it was not reported.
 *
 * @returns by station, oldest first.
 * @throws RangeError naming the column or the line that is wrong.
 */
export function parseHourlyCsv(text: string): ReadonlyMap<string, readonly HourlyReport[]> {
  const [head = '', ...lines] = text.split('\n').filter((line) => line.trim() !== '');
  const names = head.split(',').map(unquoted);
  const column = (name: string): number => {
    const index = names.indexOf(name);
    if (index < 0) throw new RangeError(`the weather file has no column '${name}'`);
    return index;
  };
  const at = {
    station: column('origin'),
    time: column('time_hour'),
    temp: column('temp'),
    humid: column('humid'),
    windDir: column('wind_dir'),
    windSpeed: column('wind_speed'),
    precip: column('precip'),
    pressure: column('pressure'),
  };
  const stations = new Map<string, HourlyReport[]>();
  for (const [index, line] of lines.entries()) {
    const cells = line.split(',').map(unquoted);
    const number = (place: number, scale: number): number | null => {
      const cell = cells[place] ?? 'NA';
      if (cell === 'NA' || cell === '') return null;
      const value = Number(cell);
      if (Number.isFinite(value)) return value * scale;
      throw new RangeError(`line ${index + 2} of the weather file: '${cell}' is no number`);
    };
    const atMs = Date.parse(cells[at.time] ?? '');
    if (Number.isNaN(atMs)) {
      throw new RangeError(`line ${index + 2} of the weather file: no time in it`);
    }
    const fahrenheit = number(at.temp, 1);
    const station = cells[at.station] ?? '';
    const reports = stations.get(station) ?? [];
    stations.set(station, reports);
    reports.push({
      atMs,
      celsius: fahrenheit === null ? null : ((fahrenheit - 32) * 5) / 9,
      humidityPercent: number(at.humid, 1),
      windFromDegrees: number(at.windDir, 1),
      windMetresPerSecond: number(at.windSpeed, METRES_PER_SECOND_PER_MILE_PER_HOUR),
      precipitationMm: number(at.precip, MM_PER_INCH),
      pressurePascals: number(at.pressure, PASCALS_PER_MILLIBAR),
    });
  }
  for (const reports of stations.values()) reports.sort((one, other) => one.atMs - other.atMs);
  return stations;
}

function unquoted(cell: string): string {
  return cell.trim().replace(/^"(.*)"$/, '$1');
}
