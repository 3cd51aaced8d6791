import { SERVICE_ACTIONS } from '@lineside/api';
import { phasesOf, type ServiceEvent } from '@lineside/judging';
import { WEATHER_UNIT } from '@lineside/readings';
import { parseEventTime } from './event-time.ts';
import type { KnownPlaces, Place } from './known-places.ts';
import { LINE_CHANNELS, type LineChannel } from './line-channels.ts';
import type { LineValues } from './line-values.ts';
import { quote, type RefusalReason, type Refusals } from './refusals.ts';
import { RANK, type TestEvent } from './test-event.ts';

/** What an input is for. A readings file may hold its sites' weather, too. */
export type InputKind = 'telemetry' | 'weather' | 'service';

export interface LineContext {
  readonly kind: InputKind;
  readonly places: KnownPlaces;
  readonly refusals: Refusals;
}

type Fields = Readonly<Record<string, unknown>>;

const ACTIONS: ReadonlySet<string> = new Set(SERVICE_ACTIONS);

/**
 * Reads one line with JSON.parse. What cannot be taken is counted and gives null.
 *
 * @param line number of the line, from 1.
 * @param values scratch space that belongs to the caller.
 */
export function readJsonLine(
  text: string,
  line: number,
  context: LineContext,
  values: LineValues,
): TestEvent | null {
  const refuse = (reason: RefusalReason, detail: () => string): null => {
    context.refusals.add(reason, line, detail);
    return null;
  };
  const fields = objectFrom(text);
  if (fields === null) return refuse('not-json', () => quote(text));
  const { site, unit, time } = fields;
  if (typeof site !== 'string') return refuse('wrong-type', () => `site is ${quote(site)}`);
  if (typeof unit !== 'string') return refuse('wrong-type', () => `unit is ${quote(unit)}`);
  if (typeof time !== 'string') return refuse('wrong-type', () => `time is ${quote(time)}`);
  const place = context.places.find(site, unit);
  if (place === null) {
    const known = context.places.hasSite(site);
    return refuse(
      'unknown-unit',
      () => `${quote(unit)} of ${known ? '' : 'unknown '}site ${quote(site)}`,
    );
  }
  const atMs = parseEventTime(time);
  if (atMs === null) return refuse('invalid-time', () => quote(time));
  if (context.kind === 'service') return serviceFrom(fields, place, atMs, refuse);
  if (context.kind === 'weather' && !place.isWeather) {
    const words = `unit is ${quote(unit)}, a weather file is for unit "${WEATHER_UNIT}" only`;
    return refuse('wrong-file', () => words);
  }
  const wrong = collectValues(fields, place, values);
  if (wrong !== null) return refuse('wrong-type', () => wrong);
  return values.toEvent(place, atMs, line, context.refusals);
}

function objectFrom(text: string): Fields | null {
  try {
    const parsed: unknown = JSON.parse(text);
    return isFields(parsed) ? parsed : null;
  } catch {
    return null;
  }
}

function isFields(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** Words for what is wrong, else null. Channels that the place does not send are ignored. */
function collectValues(fields: Fields, { isWeather }: Place, values: LineValues): string | null {
  values.clear();
  for (const one of LINE_CHANNELS) {
    const value = fields[one.channel.name];
    if (value === undefined || value === null) continue;
    if (!(isWeather ? one.ofWeather : one.ofUnit)) continue;
    const number = numberFrom(one, value);
    if (number === null) return `${one.channel.name} is ${quote(value)}`;
    values.add(one, number);
  }
  return null;
}

function numberFrom({ isBoolean }: LineChannel, value: unknown): number | null {
  if (typeof value === 'number') return value;
  return isBoolean && typeof value === 'boolean' ? Number(value) : null;
}

function serviceFrom(
  { action, phases }: Fields,
  { site, unit, isWeather }: Place,
  atMs: number,
  refuse: (reason: RefusalReason, detail: () => string) => null,
): TestEvent | null {
  if (isWeather) return refuse('unknown-unit', () => 'an outdoor station has no service records');
  if (typeof action !== 'string') return refuse('wrong-type', () => `action is ${quote(action)}`);
  if (!ACTIONS.has(action)) return refuse('unknown-action', () => quote(action));
  const listed = phases === undefined || phases === null ? null : phasesOf(phases);
  if (
    Array.isArray(phases) ? listed?.length !== phases.length : listed === null && phases != null
  ) {
    return refuse('wrong-type', () => `phases is ${quote(phases)}`);
  }
  const service: ServiceEvent = { atMs, action, phases: listed };
  return { rank: RANK.service, site, unit, atMs, channels: null, service };
}
