import { ByteWords } from './byte-words.ts';
import { EventTimeBytes } from './event-time.ts';
import { JsonBytes } from './json-bytes.ts';
import type { LineContext } from './json-line.ts';
import type { Place } from './known-places.ts';
import { LINE_CHANNELS, type LineChannel } from './line-channels.ts';
import type { LineValues } from './line-values.ts';
import type { TestEvent } from './test-event.ts';

/** What a key of a line stands for; keys that are no channel have fixed places in `seen`. */
interface Key {
  readonly bit: number;
  readonly channel: LineChannel | null;
}

const SITE: Key = { bit: 1 << 29, channel: null };
const UNIT: Key = { bit: 1 << 28, channel: null };
const TIME: Key = { bit: 1 << 27, channel: null };
const NEEDED: number = SITE.bit | UNIT.bit | TIME.bit;

const OPEN_BRACE = 0x7b;
const CLOSE_BRACE = 0x7d;
const COMMA = 0x2c;
const COLON = 0x3a;
const LETTER_N = 0x6e;

/**
 * Reads the usual line, a flat object of plain texts and numbers, straight from its bytes: about
 * three times faster than JSON.parse. Whatever is not plain or not right is left to
 * `readJsonLine`, which has the words for it; what it takes, it takes as `readJsonLine` would.
 */
export class FastLines {
  readonly #context: LineContext;
  readonly #values: LineValues;
  readonly #time: EventTimeBytes = new EventTimeBytes();
  readonly #json: JsonBytes = new JsonBytes();
  readonly #keys: ByteWords<Key> = new ByteWords();
  readonly #sites: ByteWords<ByteWords<Place>> = new ByteWords();

  constructor(context: LineContext, values: LineValues) {
    this.#context = context;
    this.#values = values;
    this.#keys.set('site', SITE);
    this.#keys.set('unit', UNIT);
    this.#keys.set('time', TIME);
    for (const channel of LINE_CHANNELS) {
      this.#keys.set(channel.channel.name, { bit: 1 << channel.index, channel });
    }
    for (const place of context.places.all()) {
      const units = this.#sites.of(place.site) ?? new ByteWords<Place>();
      units.set(place.unit, place);
      this.#sites.set(place.site, units);
    }
  }

  /** The line in `bytes` from `start` to before `end`; null where `readJsonLine` must look. */
  read(bytes: Uint8Array, start: number, end: number, line: number): TestEvent | null {
    const json = this.#json;
    const values = this.#values;
    values.clear();
    json.open(bytes, start, end);
    if (!json.take(OPEN_BRACE)) return null;
    let seen = 0;
    let siteStart = 0;
    let siteEnd = 0;
    let unitStart = 0;
    let unitEnd = 0;
    let atMs = 0;
    do {
      if (!json.text()) return null;
      const key = this.#keys.at(bytes, json.textStart, json.textEnd);
      if (!json.take(COLON)) return null;
      if (key === null) {
        if (!json.skipPlain()) return null;
        continue;
      }
      if ((seen & key.bit) !== 0) return null;
      seen |= key.bit;
      if (key.channel !== null) {
        if (!this.#value(key.channel)) return null;
        continue;
      }
      if (!json.text()) return null;
      if (key === SITE) {
        siteStart = json.textStart;
        siteEnd = json.textEnd;
      } else if (key === UNIT) {
        unitStart = json.textStart;
        unitEnd = json.textEnd;
      } else {
        const read = this.#time.read(bytes, json.textStart, json.textEnd);
        if (read === null) return null;
        atMs = read;
      }
    } while (json.take(COMMA));
    if (!json.take(CLOSE_BRACE) || !json.atEnd()) return null;
    if ((seen & NEEDED) !== NEEDED) return null;
    const units = this.#sites.at(bytes, siteStart, siteEnd);
    const place = units?.at(bytes, unitStart, unitEnd) ?? null;
    if (place === null || (this.#context.kind === 'weather' && !place.isWeather)) return null;
    return values.toEvent(place, atMs, line, this.#context.refusals);
  }

  #value(channel: LineChannel): boolean {
    const json = this.#json;
    if (json.number() || (channel.isBoolean && json.truth())) {
      this.#values.add(channel, json.value);
      return true;
    }
    if (json.peek() === LETTER_N) return json.skipPlain();
    return false;
  }
}
