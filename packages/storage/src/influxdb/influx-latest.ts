import { ALL_CHANNELS } from '../sqlite/telemetry/channel-mask.ts';
import { type PackedReadings, RowPacker } from '../sqlite/telemetry/packed-readings.ts';
import type { InfluxGeneration } from './generation.ts';
import type { InfluxConnection } from './influx-connection.ts';
import { packRows, USUAL_ROWS } from './influx-fleet.ts';
import { areNames, newestStatement, seriesStatement, type UnitTags } from './influxql.ts';
import { unlessUnknown } from './known-channels.ts';
import type { AnswerSeries } from './query-answer.ts';

/** Most units have sent something within it; it touches two or three storage periods. */
const RECENT_MS: number = 10 * 86_400_000;

/** Units of one statement: their names make 5 KB of address at most. */
const MOST_UNITS = 50;

/** Statements of one request: a year of storage periods of fifty units takes 0.3 s. */
const TOGETHER = 4;

/**
 * The newest reading of every unit. The first two generations look through all periods of every
 * unit for that, seconds for a year of a large fleet: so recent ones are asked for first, and only
 * units of the index that are not among them from the beginning on.
 */
export async function readLatest(
  connection: InfluxConnection,
  generation: InfluxGeneration,
  nowMs: number,
): Promise<PackedReadings> {
  const units = await indexedUnits(connection, generation);
  const fromMs = units === null ? 0 : Math.max(0, nowMs - RECENT_MS);
  const [recent = []] = await connection.query([newestStatement(ALL_CHANNELS, fromMs)]);
  const found = new Set(recent.map(({ tags }) => `${tags['site']}/${tags['unit']}`));
  const missing = units?.filter(({ site, unit }) => !found.has(`${site}/${unit}`)) ?? [];
  const statements: string[] = [];
  for (let at = 0; at < missing.length; at += MOST_UNITS) {
    const part = missing.slice(at, at + MOST_UNITS);
    statements.push(newestStatement(ALL_CHANNELS, 0, part));
  }
  const older = await connection.query(statements, TOGETHER);
  return packed([...recent, ...older.flat()]);
}

/** Every unit that has readings; null when the server does not tell, as the third generation. */
export async function indexedUnits(
  connection: InfluxConnection,
  generation: InfluxGeneration,
): Promise<readonly UnitTags[] | null> {
  if (generation === 3) return null;
  const found = await unlessUnknown(() => connection.query([seriesStatement()]));
  if (found === null) return null;
  return found
    .flat()
    .flatMap(({ values }) => values)
    .map(([key]) => unitOfKey(String(key)))
    .filter(areNames);
}

/** Tags of a series' key, `reading,site=mill,unit=rtu-01`; ids hold nothing that is escaped. */
function unitOfKey(key: string): UnitTags {
  const tags = new Map(
    key.split(',').map((part): [string, string] => {
      const [name = '', value = ''] = part.split('=');
      return [name, value];
    }),
  );
  return { site: tags.get('site') ?? '', unit: tags.get('unit') ?? '' };
}

function packed(found: readonly AnswerSeries[]): PackedReadings {
  const packer = new RowPacker(USUAL_ROWS);
  for (const series of found) {
    const { site = '', unit = '' } = series.tags;
    packRows(packer, packer.addUnit({ site, unit }), series, series.values);
  }
  return packer.packed();
}
