import type { ChannelName } from '@lineside/readings';
import { StoreError } from '../../ports/store-error.ts';
import type { ExtremesQuery, ReadingsQuery, UnitExtremes } from '../../ports/telemetry-store.ts';
import { CHANNEL_COUNT, type ChannelMask, channelAt, channelsIn, maskOf } from './channel-mask.ts';
import type { Row } from './mask-statements.ts';
import { type PackedReadings, RowPacker } from './packed-readings.ts';
import type { WeekArchive } from './week-archive.ts';

/** Rows for which the first buffer of an answer has room; it grows. */
const USUAL_ROWS = 1_000;

/** Raw readings of one unit, oldest first, at most `limit`. */
export function readReadings(archive: WeekArchive, query: ReadingsQuery): PackedReadings {
  const packer = new RowPacker(Math.min(query.limit, USUAL_ROWS));
  const rows = new RowAdder(packer);
  const place = packer.addUnit({ site: query.site, unit: query.unit });
  let left = query.limit;
  archive.readSpan(query, (week, part) => {
    const unit = week.unit(query.site, query.unit);
    if (unit === undefined) return undefined;
    const found = week.rows(unit, unit.channels, part, left);
    for (const row of found) rows.add(place, unit.channels, row);
    left -= found.length;
    return left === 0 ? 'stop' : undefined;
  });
  return packer.packed();
}

/**
 * The newest reading of every unit. A damaged week is passed over, so that one bad file does not
 * hide what the fleet does now: its units show an older reading, or none.
 */
export function readLatest(archive: WeekArchive): PackedReadings {
  const packer = new RowPacker(USUAL_ROWS);
  const rows = new RowAdder(packer);
  const seen = new Set<string>();
  for (const startMs of archive.weeks().reverse()) {
    passingOverDamage(() =>
      archive.read(startMs, (week) => {
        for (const unit of week.units()) {
          const key = `${unit.site}/${unit.unit}`;
          if (seen.has(key)) continue;
          const row = week.newestRow(unit);
          if (row === undefined) continue;
          seen.add(key);
          rows.add(packer.addUnit({ site: unit.site, unit: unit.unit }), unit.channels, row);
        }
      }),
    );
  }
  return packer.packed();
}

function passingOverDamage(work: () => void): void {
  try {
    work();
  } catch (error) {
    if (error instanceof StoreError && error.code === 'STORE_UNAVAILABLE') return;
    throw error;
  }
}

/** Lowest and highest values of every unit that has any, in the order of site and unit. */
export function readExtremes(archive: WeekArchive, query: ExtremesQuery): UnitExtremes[] {
  const wanted = maskOf(query.channels);
  const units = new Map<string, UnitExtremes & { channels: MutableExtremes }>();
  if (wanted === 0) return [];
  archive.readSpan(query, (week, part) => {
    for (const stored of week.units()) {
      const { site, unit } = stored;
      const mask = stored.channels & wanted;
      if (mask === 0) continue;
      const key = `${site}/${unit}`;
      const known = units.get(key) ?? { site, unit, channels: {} };
      for (const row of week.extremes(stored, mask, part)) widen(known.channels, mask, row);
      if (Object.keys(known.channels).length > 0) units.set(key, known);
    }
    return undefined;
  });
  return [...units.values()].sort((a, b) =>
    `${a.site}/${a.unit}` < `${b.site}/${b.unit}` ? -1 : 1,
  );
}

type MutableExtremes = { [name in ChannelName]?: { min: number; max: number } };

function widen(extremes: MutableExtremes, mask: ChannelMask, row: Row): void {
  const channels = channelsIn(mask);
  for (let place = 0; place < channels.length; place++) {
    const min = row[place * 2];
    const max = row[place * 2 + 1];
    if (typeof min !== 'number' || typeof max !== 'number') continue;
    const name = channelAt(channels[place] ?? 0);
    const known = extremes[name];
    if (known === undefined) extremes[name] = { min, max };
    else {
      known.min = Math.min(known.min, min);
      known.max = Math.max(known.max, max);
    }
  }
}

/** Turns selected rows into packed ones. */
class RowAdder {
  readonly #packer: RowPacker;
  readonly #values: (number | null)[] = new Array(CHANNEL_COUNT).fill(null);

  constructor(packer: RowPacker) {
    this.#packer = packer;
  }

  add(unitPlace: number, mask: ChannelMask, row: Row): void {
    const channels = channelsIn(mask);
    let present = 0;
    for (let place = 0; place < channels.length; place++) {
      const value = row[place + 1];
      if (typeof value !== 'number') continue;
      const channel = channels[place] ?? 0;
      present |= 1 << channel;
      this.#values[channel] = value;
    }
    this.#packer.addRow(unitPlace, row[0] ?? 0, present, this.#values);
  }
}
