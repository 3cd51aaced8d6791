/** Lines that say what should be found. */
import { CAUSES, FINDING_KINDS, PRIORITIES, WETTING_SOURCES } from '@lineside/anomaly';
import { CaseError, offered, type Place } from './case-error.ts';
import type { Expected } from './scenario-case.ts';
import { parseWindow } from './times.ts';

const SENTENCES = [
  'expect leakage urgent at 6h10..6h15',
  'expect leakage urgent at 6h10..6h15 because line-side-track-to-ground',
  'expect leakage clears at 9h..10h',
  'expect leakage stands',
  'expect no leakage',
  'expect wetting condensation begins 5h..6h',
  'expect wetting condensation begins 5h..6h ends 9h..10h',
  'expect no wetting',
  'expect nothing',
  'expect nothing else',
];

/** `text` without the word `expect`. */
export function parseExpected(text: string, place: Place): Expected {
  if (text === 'nothing' || text === 'nothing else') return { type: 'nothing-else' };
  if (text === 'no wetting') return { type: 'no-wetting' };
  const never = /^no (\S+)$/.exec(text);
  if (never !== null) {
    return { type: 'never', kind: oneOf(FINDING_KINDS, never[1], 'kind of alarm', place) };
  }
  const wetting = /^wetting (\S+) begins (\S+)(?: ends (\S+))?$/.exec(text);
  if (wetting !== null) {
    const [, source, begins = '', ends] = wetting;
    return {
      type: 'wetting',
      source: oneOf(WETTING_SOURCES, source, 'source of a wetting', place),
      begins: parseWindow(begins, place),
      ends: ends === undefined ? null : parseWindow(ends, place),
    };
  }
  return parseAlarm(text, place);
}

function parseAlarm(text: string, place: Place): Expected {
  const stands = /^(\S+) stands$/.exec(text);
  if (stands !== null) {
    return { type: 'stands', kind: oneOf(FINDING_KINDS, stands[1], 'kind of alarm', place) };
  }
  const match = /^(\S+) (\S+) at (\S+)(?: because (\S+))?$/.exec(text);
  if (match === null) {
    throw new CaseError(place, `'expect ${text}' is no expectation`, offered(SENTENCES));
  }
  const [, word, step, time = '', because] = match;
  const kind = oneOf(FINDING_KINDS, word, 'kind of alarm', place);
  const at = parseWindow(time, place);
  if (step === 'clears') {
    if (because === undefined) return { type: 'clears', kind, at };
    throw new CaseError(place, 'an alarm clears without a cause', "no 'because' after 'clears'");
  }
  const priority = oneOf(PRIORITIES, step, "priority, nor 'clears'", place);
  const cause = because === undefined ? null : oneOf(CAUSES, because, 'cause', place);
  return { type: 'raised', kind, priority, at, cause };
}

function oneOf<Word extends string>(
  words: readonly Word[],
  text: string | undefined,
  what: string,
  place: Place,
): Word {
  const found = words.find((word) => word === text);
  if (found !== undefined) return found;
  throw new CaseError(place, `'${text}' is no ${what}`, offered(words));
}
