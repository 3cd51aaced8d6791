import { type ChannelName, ID_PATTERN, ID_RULE, type Reading } from '@lineside/readings';
import { StoreError } from '../../ports/store-error.ts';
import { CHANNEL_COUNT, channelAt, channelIndex, channelsIn } from './channel-mask.ts';
import { TIME_END_MS } from './week.ts';

/**
 * Readings on their way between threads, as one buffer that is moved and a short list of names:
 * cloning an object for each reading would cost the main thread more than storing it.
 *
 * A row is: place in `units`, event time, mask of channels, then one value a channel of the mask.
 */
export interface PackedReadings {
  readonly rows: Float64Array;
  /** Numbers of `rows` that are in use. */
  readonly length: number;
  readonly units: readonly PackedUnit[];
}

export interface PackedUnit {
  readonly site: string;
  readonly unit: string;
}

/** Numbers of a row before its values. */
export const ROW_HEAD = 3;
const USUAL_CHANNELS = 9;

/** Collects rows into a growing buffer. */
export class RowPacker {
  #rows: Float64Array;
  #length = 0;
  readonly #units: PackedUnit[] = [];

  constructor(expectedRows: number) {
    this.#rows = new Float64Array(Math.max(1, expectedRows) * (ROW_HEAD + USUAL_CHANNELS));
  }

  /** Adds a name and returns its place. */
  addUnit(unit: PackedUnit): number {
    return this.#units.push(unit) - 1;
  }

  /** Adds a row; `values` holds a number for every channel of `mask` at its storage place. */
  addRow(unitPlace: number, atMs: number, mask: number, values: ArrayLike<number | null>): void {
    const channels = channelsIn(mask);
    const end = this.#length + ROW_HEAD + channels.length;
    if (end > this.#rows.length) {
      const grown = new Float64Array(Math.max(end, this.#rows.length * 2));
      grown.set(this.#rows);
      this.#rows = grown;
    }
    const rows = this.#rows;
    let at = this.#length;
    rows[at++] = unitPlace;
    rows[at++] = atMs;
    rows[at++] = mask;
    for (const channel of channels) rows[at++] = values[channel] ?? Number.NaN;
    this.#length = end;
  }

  packed(): PackedReadings {
    return { rows: this.#rows, length: this.#length, units: this.#units };
  }
}

/**
 * Packs readings for the writer and checks them; readings without a channel are left out.
 * @throws StoreError `STORE_BAD_INPUT` naming the reading and what is wrong with it.
 */
export function packReadings(readings: readonly Reading[]): PackedReadings {
  const packer = new RowPacker(readings.length);
  const places = new Map<string, Map<string, number>>();
  const values = new Float64Array(CHANNEL_COUNT);
  for (let index = 0; index < readings.length; index++) {
    const reading = readings[index];
    if (reading === undefined) throw badReading(index, 'it is missing');
    const { site, unit, atMs } = reading;
    if (!Number.isInteger(atMs) || atMs < 0 || atMs >= TIME_END_MS) {
      throw badReading(index, `its time ${atMs} is not a whole number of ms from 1970 to 9999`);
    }
    let place = places.get(site)?.get(unit);
    if (place === undefined) {
      checkName(index, 'site', site);
      checkName(index, 'unit', unit);
      place = packer.addUnit({ site, unit });
      const ofSite = places.get(site) ?? new Map<string, number>();
      places.set(site, ofSite.set(unit, place));
    }
    const mask = takeValues(reading.channels, values, index);
    if (mask !== 0) packer.addRow(place, atMs, mask, values);
  }
  return packer.packed();
}

function takeValues(channels: Reading['channels'], values: Float64Array, index: number): number {
  let mask = 0;
  for (const name of Object.keys(channels)) {
    const channel = channelIndex(name);
    if (channel === undefined) throw badReading(index, `there is no channel "${name}"`);
    const value: unknown = Reflect.get(channels, name);
    if (value === undefined) continue;
    if (typeof value !== 'number' || !Number.isFinite(value)) {
      throw badReading(index, `${name} is ${value}, not a finite number`);
    }
    values[channel] = value;
    mask |= 1 << channel;
  }
  return mask;
}

function checkName(index: number, what: string, name: unknown): void {
  if (typeof name === 'string' && ID_PATTERN.test(name)) return;
  throw badReading(index, `its ${what} ${JSON.stringify(name)} is not ${ID_RULE}`);
}

function badReading(index: number, problem: string): StoreError {
  return new StoreError('STORE_BAD_INPUT', `Reading ${index} of the batch: ${problem}`);
}

/** Readings from packed rows, in their order. */
export function unpackReadings(packed: PackedReadings): Reading[] {
  const { rows, length, units } = packed;
  const readings: Reading[] = [];
  let at = 0;
  while (at < length) {
    const owner = units[rows[at] ?? -1];
    if (owner === undefined) throw new RangeError(`Row at ${at} belongs to no unit`);
    const present = channelsIn(rows[at + 2] ?? 0);
    const channels: { [name in ChannelName]?: number } = {};
    let value = at + ROW_HEAD;
    for (const channel of present) channels[channelAt(channel)] = rows[value++] ?? Number.NaN;
    readings.push({ site: owner.site, unit: owner.unit, atMs: rows[at + 1] ?? 0, channels });
    at = value;
  }
  return readings;
}
