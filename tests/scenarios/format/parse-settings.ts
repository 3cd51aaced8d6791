/** The part of a timeline line after the time: `running 17/17/17, leak 1.3 -> 14 mA ~0.1`. */
import type { ChannelName } from '@lineside/readings';
import { CaseError, offered, type Place } from './case-error.ts';
import {
  COMPARTMENT_QUANTITIES,
  OUTDOOR_QUANTITIES,
  type Quantity,
  USUAL_IDLE_AMPS,
} from './quantities.ts';
import type { Setting } from './scenario-case.ts';

const CURRENTS = ['ia', 'ib', 'ic'] as const;

export function parseSettings(text: string, outdoors: boolean, place: Place): readonly Setting[] {
  return text.split(',').flatMap((item) => parseItem(item.trim(), outdoors, place));
}

function parseItem(item: string, outdoors: boolean, place: Place): readonly Setting[] {
  if (item === 'gap') return [{ type: 'gap' }];
  const word = outdoors ? null : stateWord(item);
  if (word !== null) return word;
  const quantities = outdoors ? OUTDOOR_QUANTITIES : COMPARTMENT_QUANTITIES;
  if (item.startsWith('no ')) {
    const { channels } = quantityOf(item.slice('no '.length), quantities, place);
    return channels.map((channel) => ({ type: 'missing', channel }));
  }
  const from = outdoors ? /^(wind .*) from (\d+)$/.exec(item) : null;
  const measured = from?.[1] ?? item;
  const quantity = quantityOf(measured, quantities, place);
  const settings = parseValues(measured.slice(quantity.words.length).trim(), quantity, place);
  if (from === null) return settings;
  const degrees = Number(from[2]);
  return [...settings, { type: 'value', channel: 'winddir', points: [degrees], noise: 0 }];
}

/** Words that stand for values. */
function stateWord(item: string): readonly Setting[] | null {
  if (item === 'idle') return constants(CURRENTS, USUAL_IDLE_AMPS);
  if (item === 'dead') return constants(['ia', 'ib', 'ic', 'leak'], [0, 0, 0, 0]);
  if (item === 'door open') return constants(['door'], [1]);
  return item === 'door closed' ? constants(['door'], [0]) : null;
}

function constants(channels: readonly ChannelName[], values: readonly number[]): Setting[] {
  return channels.map((channel, index) => ({
    type: 'value',
    channel,
    points: [values[index] ?? 0],
    noise: 0,
  }));
}

function quantityOf(item: string, quantities: readonly Quantity[], place: Place): Quantity {
  const found = quantities.find(({ words }) => item === words || item.startsWith(`${words} `));
  if (found !== undefined) return found;
  const words = [...quantities.map((each) => each.words), 'gap'];
  const states = quantities === COMPARTMENT_QUANTITIES ? ['dead', 'door open', 'door closed'] : [];
  throw new CaseError(place, `'${item}' begins with no known word`, offered([...words, ...states]));
}

const WITH_NOISE = /^(.*?)\s*~\s*(\d+(?:\.\d+)?)$/;
/** Values, then a unit if any: the unit begins with a letter or `%`. */
const WITH_UNIT = /^([-\d./> ]*?)\s*([A-Za-z%][A-Za-z/%]*)?$/;

function parseValues(text: string, quantity: Quantity, place: Place): readonly Setting[] {
  const noisy = WITH_NOISE.exec(text);
  const match = WITH_UNIT.exec(noisy?.[1] ?? text);
  if (match === null) {
    const wrong = `'${quantity.words} ${text}' is not a value with its unit`;
    throw new CaseError(place, wrong, "'leak 1.1 mA', ramps '1 -> 14 mA', noise '1.1 ~0.1'");
  }
  const divisor = divisorOf(match[2], quantity, place);
  const points = (match[1] ?? '').split('->').map((point) => parsePoint(point, quantity, place));
  return quantity.channels.map((channel, index) => ({
    type: 'value',
    channel,
    points: points.map((point) => withinRange((point[index] ?? 0) / divisor, quantity, place)),
    noise: Number(noisy?.[2] ?? 0) / divisor,
  }));
}

function divisorOf(unit: string | undefined, { words, units }: Quantity, place: Place): number {
  const known = Object.keys(units);
  const divisor = units[unit ?? known[0] ?? ''];
  if (divisor !== undefined) return divisor;
  if (unit === undefined) return 1;
  const allowed = known.length === 0 ? 'no unit' : offered(known);
  throw new CaseError(place, `'${words}' is not measured in '${unit}'`, allowed);
}

function parsePoint(text: string, { words, channels }: Quantity, place: Place): readonly number[] {
  const values = text.split('/').map((each) => each.trim());
  const numbers = values.every((each) => /^-?\d+(\.\d+)?$/.test(each));
  if (numbers && values.length === channels.length) return values.map(Number);
  const allowed = channels.length === 1 ? "one number, as in '1.1'" : "three, as in '17/17/17'";
  throw new CaseError(place, `'${text.trim()}' is no value of '${words}'`, allowed);
}

function withinRange(value: number, { words, least, most }: Quantity, place: Place): number {
  if (value >= least && value <= most) return value;
  const wrong = `${value} is out of range for '${words}'`;
  throw new CaseError(place, wrong, `${least} to ${most} in the unit that nodes send`);
}
