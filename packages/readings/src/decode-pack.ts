import {
  CHANNEL_NAME_MOST_CHARACTERS,
  type Channel,
  channelNamed,
  isPlausible,
  sentBy,
  toChannelUnit,
} from './channel-table.ts';
import { parsePackBytes } from './pack-bytes.ts';
import { PackDrops, recordWords } from './pack-drops.ts';
import { FUTURE_TOLERANCE_MS, NAME_MOST_CHARACTERS } from './pack-limits.ts';
import { quoted, type Refusal } from './quarantine-codes.ts';
import { type PackReading, ReadingCollector } from './reading-collector.ts';
import { noFields, readFields, type SenmlFields } from './senml-fields.ts';
import {
  isMeasurement,
  nameProblem,
  noBases,
  resolvedSeconds,
  resolvedValue,
  type SenmlBases,
  takeBases,
} from './senml-resolve.ts';

export interface PackContext {
  /** Time of receipt, ms since 1970: what relative times count from. */
  readonly receivedAtMs: number;
  /** Event times below are older than the retention and refused, ms since 1970. */
  readonly oldestAtMs: number;
  /** True for a pack of an outdoor station, which has channels of its own. */
  readonly weather: boolean;
}

export interface DecodedPack {
  /** One per event time, oldest first; none has no channel. */
  readonly readings: readonly PackReading[];
  /** What goes into quarantine, or `null` when every record was taken or ignored. */
  readonly refusal: Refusal | null;
  /** Distinct event times (whole ms) that were out of range; 0 when the pack is refused whole. */
  readonly refusedTimes: number;
  /** The newest of them, ms since 1970; absent when there was none. */
  readonly newestRefusedMs?: number;
}

/**
 * Decodes one message of a telemetry topic. Never throws, whatever the bytes are.
 *
 * - Wrong structure, too many bytes or records, an unknown version or must-understand label: the
 *   pack is refused whole, `readings` is empty.
 * - A value out of its plausible range or with a unit that does not fit (a missing unit does not),
 *   or a time more than `FUTURE_TOLERANCE_MS` after `receivedAtMs` or before `oldestAtMs`: that
 *   record is dropped alone. One refusal sums up the pack.
 * - Unlisted names and records without a value are ignored, and so is an empty pack.
 * - Of two values for one channel and time the first plausible one is kept.
 *
 * Source: RFC 8428 (SenML), RFC 8798 (secondary units), RFC 9100 (versions).
 */
export function decodePack(payload: Uint8Array, context: PackContext): DecodedPack {
  const parsed = parsePackBytes(payload);
  if (!parsed.ok) return refusedWhole(parsed.refusal);
  return new PackReader(context).read(parsed.records);
}

function refusedWhole(refusal: Refusal): DecodedPack {
  return { readings: [], refusal, refusedTimes: 0 };
}

class PackReader {
  readonly #context: PackContext;
  readonly #latestAtMs: number;
  readonly #fields: SenmlFields = noFields();
  readonly #bases: SenmlBases = noBases();
  readonly #drops = new PackDrops();
  readonly #collector = new ReadingCollector();
  /** Whether a name behind the base name in force is told by itself. */
  #isBasePlain = true;
  /** Other names repeat all through a pack, too: what each stands for under that base name. */
  #channels: Map<string, Channel | null> | null = null;

  constructor(context: PackContext) {
    this.#context = context;
    this.#latestAtMs = context.receivedAtMs + FUTURE_TOLERANCE_MS;
  }

  read(records: readonly unknown[]): DecodedPack {
    for (let index = 0; index < records.length; index++) {
      const problem = this.#record(records[index], index);
      if (problem !== null) {
        const words = recordWords(index, this.#name());
        return refusedWhole({ code: problem.code, reason: `${problem.reason} (${words})` });
      }
    }
    const newestRefusedMs = this.#drops.newestRefusedMs;
    return {
      readings: this.#collector.readings(),
      refusal: this.#drops.summary(records.length),
      refusedTimes: this.#drops.refusedTimes,
      ...(newestRefusedMs === null ? null : { newestRefusedMs }),
    };
  }

  /** Takes or drops one record; what it returns refuses the whole pack. */
  #record(record: unknown, index: number): Refusal | null {
    const fields = this.#fields;
    const bases = this.#bases;
    const problem = readFields(record, fields);
    if (problem !== null) return problem;
    if (fields.baseName !== null && fields.baseName !== bases.name) {
      this.#channels = null;
      this.#isBasePlain = isPlainBase(fields.baseName);
    }
    takeBases(bases, fields);
    const measured = isMeasurement(bases, fields);
    if (measured === false) return null;
    if (measured !== true) return measured;
    const plain = this.#isBasePlain ? channelNamed(fields.name ?? '') : null;
    if (plain !== null) {
      if (sentBy(plain, this.#context.weather)) this.#take(plain, index);
      return null;
    }
    this.#channels ??= new Map();
    let channel = this.#channels.get(fields.name ?? '');
    if (channel === undefined) {
      const name = this.#name();
      const wrongName = nameProblem(name);
      if (wrongName !== null) return wrongName;
      channel = listedChannel(name, this.#context.weather);
      this.#channels.set(fields.name ?? '', channel);
    }
    if (channel !== null) this.#take(channel, index);
    return null;
  }

  #name(): string {
    return this.#bases.name + (this.#fields.name ?? '');
  }

  #take(channel: Channel, index: number): void {
    const { receivedAtMs, oldestAtMs } = this.#context;
    const seconds = resolvedSeconds(this.#bases, this.#fields, receivedAtMs / 1000);
    const atMs = Math.round(seconds * 1000);
    // Written so that NaN is out of range, too.
    if (!(atMs >= oldestAtMs && atMs <= this.#latestAtMs)) {
      this.#drops.addTime(atMs);
      const words = (): string => timeWords(atMs, this.#context);
      this.#drops.add('time-out-of-range', index, this.#name(), words);
      return;
    }
    const value = this.#value(channel, index);
    if (value !== null) this.#collector.add(atMs, channel.name, value);
  }

  /** The value in the channel's unit; `null` when there is none or the record is dropped. */
  #value(channel: Channel, index: number): number | null {
    const fields = this.#fields;
    const sent = resolvedValue(this.#bases, fields);
    if (channel.kind === 'boolean') {
      if (fields.boolean !== null) return fields.boolean ? 1 : 0;
    } else if (sent !== null) {
      return this.#number(channel, sent, index);
    }
    // Only a sum: nothing that a channel holds.
    if (sent === null && kindOf(fields) === 'nothing') return null;
    const found = sent === null ? kindOf(fields) : 'a number';
    const expected = channel.kind === 'boolean' ? 'true or false (vb)' : 'a number (v)';
    const words = (): string => `expected ${expected}, found ${found}`;
    this.#drops.add('value-kind-mismatch', index, this.#name(), words);
    return null;
  }

  #number(channel: Channel, sent: number, index: number): number | null {
    const unit = this.#fields.unit ?? this.#bases.unit;
    const converted = toChannelUnit(channel, sent, unit);
    if (converted === null) {
      const words = (): string => unitWords(channel, unit);
      this.#drops.add('unit-mismatch', index, this.#name(), words);
      return null;
    }
    // Adding 0 turns -0 into 0.
    const value = converted + 0;
    if (!isPlausible(channel, value)) {
      const words = (): string =>
        `${value} ${channel.unit} is outside ${channel.lowest} to ${channel.highest}`;
      this.#drops.add('value-implausible', index, this.#name(), words);
      return null;
    }
    return value;
  }
}

/**
 * Whether the name of a channel behind this base name is a right name, and of that channel: true of
 * nearly every pack, whose names then need no look at their letters.
 */
function isPlainBase(baseName: string): boolean {
  if (baseName === '') return true;
  const isCut = baseName.endsWith(':') || baseName.endsWith('/');
  const longest = baseName.length + CHANNEL_NAME_MOST_CHARACTERS;
  return isCut && longest <= NAME_MOST_CHARACTERS && nameProblem(baseName) === null;
}

/** The channel is what follows the last `:` or `/` of a name. */
function listedChannel(name: string, weather: boolean): Channel | null {
  const last = Math.max(name.lastIndexOf(':'), name.lastIndexOf('/'));
  const channel = channelNamed(name.slice(last + 1));
  return channel !== null && sentBy(channel, weather) ? channel : null;
}

function kindOf(fields: SenmlFields): 'text' | 'true or false' | 'data' | 'nothing' {
  if (fields.text !== null) return 'text';
  if (fields.boolean !== null) return 'true or false';
  return fields.data !== null ? 'data' : 'nothing';
}

function unitWords(channel: Channel, unit: string | null): string {
  const taken = [channel.unit, ...channel.otherUnits].join(' or ');
  return unit === null ? `no unit, expected ${taken}` : `${quoted(unit)}, expected ${taken}`;
}

/** The last instant that a Date can hold, ms (ECMA-262 section 21.4.1.1). */
const DATE_MOST_MS = 8.64e15;

function timeWords(atMs: number, context: PackContext): string {
  if (!(Math.abs(atMs) <= DATE_MOST_MS)) return `${atMs} ms is no time`;
  const words = new Date(atMs).toISOString();
  const aheadMs = atMs - context.receivedAtMs;
  return aheadMs > 0
    ? `${words} is ${Math.round(aheadMs / 1000)} s ahead of receipt`
    : `${words} is older than what is kept`;
}
