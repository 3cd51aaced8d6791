/** Reads one case file. What may stand in it is told in `../README.md`. */
import { CaseError, offered, type Place } from './case-error.ts';
import { parseExpected } from './parse-expectation.ts';
import { parseService, parseSpan } from './parse-timeline.ts';
import {
  readLimitsLine,
  readLoadLine,
  readUnitLine,
  type UnitLines,
  unitNotDescribed,
  unitOf,
} from './parse-unit.ts';
import {
  type Expectation,
  type ScenarioCase,
  type ServiceLine,
  SHOWN_TABLES,
  type ShownRow,
  type Span,
} from './scenario-case.ts';
import { MINUTE_MS, parseDuration } from './times.ts';

const LINES = ['shows', 'source', 'unit', 'units', 'load', 'limits', 'starts', 'every'];
const TIMELINE = ['outdoors', '0h..6h idle', 'at 2h service', 'expect', 'not yet: expect'];
const USUAL_EVERY_MS = MINUTE_MS;
const USUAL_OUTDOORS_EVERY_MS: number = 10 * MINUTE_MS;
const USUAL_START_MS: number = Date.parse('2026-01-10T00:00:00Z');

/** What has been read so far. */
interface Draft {
  readonly shows: ShownRow[];
  source: string;
  readonly unit: UnitLines;
  unitIds: readonly string[];
  startMs: number;
  everyMs: number;
  outdoorsEveryMs: number;
  readonly spans: Span[];
  readonly services: ServiceLine[];
  readonly expectations: Expectation[];
}

/**
 * @param file how errors name the file.
 * @throws CaseError with line, what was wrong and what may stand there.
 */
export function parseCase(text: string, file: string): ScenarioCase {
  const lines = text.split('\n').map((line) => line.trim());
  const title = lines[0] ?? '';
  const blank = lines.indexOf('');
  if (title === '' || blank < 2) {
    const allowed = 'a title, below it a story of a line or more, then a blank line';
    throw new CaseError({ file, line: 1 }, 'the case does not begin with its title', allowed);
  }
  const draft = newDraft();
  for (const [index, line] of lines.entries()) {
    if (index < blank || line === '' || line.startsWith('#')) continue;
    readLine(line, draft, { file, line: index + 1 });
  }
  checkWhole(draft, { file, line: lines.length });
  const { unit, unitIds, ...others } = draft;
  const story = lines.slice(1, blank).join(' ');
  return { file, title, story, units: unitIds.map((id) => unitOf(id, unit)), ...others };
}

function newDraft(): Draft {
  return {
    shows: [],
    source: '',
    unit: unitNotDescribed(),
    unitIds: ['rtu-01'],
    startMs: USUAL_START_MS,
    everyMs: USUAL_EVERY_MS,
    outdoorsEveryMs: USUAL_OUTDOORS_EVERY_MS,
    spans: [],
    services: [],
    expectations: [],
  };
}

function readLine(line: string, draft: Draft, place: Place): void {
  const gap = line.search(/\s/);
  const word = gap === -1 ? line : line.slice(0, gap);
  const rest = gap === -1 ? '' : line.slice(gap).trim();
  if (readHeader(word, rest, draft, place)) return;
  const notYet = line.startsWith('not yet: ');
  const said = notYet ? line.slice('not yet: '.length) : line;
  const ofUnit = /^([a-z0-9-]+): (.*)$/.exec(said);
  const unit = ofUnit?.[1] ?? null;
  const text = ofUnit?.[2] ?? said;
  if (unit !== null && !draft.unitIds.includes(unit)) {
    throw new CaseError(place, `'${unit}' is no unit of this case`, offered(draft.unitIds));
  }
  if (text.startsWith('expect ')) {
    const expected = parseExpected(text.slice('expect '.length), place);
    draft.expectations.push({ place, text: line, unit, notYet, expected });
  } else if (text.startsWith('at ')) draft.services.push(parseService(text, unit, place));
  else if (/^(outdoors\s|\d)/.test(text)) draft.spans.push(parseSpan(text, unit, place));
  else {
    const allowed = offered([...LINES, ...TIMELINE]);
    throw new CaseError(place, `'${word}' begins no line that is known`, allowed);
  }
}

/** False when the line is none of the header's. */
function readHeader(word: string, rest: string, draft: Draft, place: Place): boolean {
  if (word === 'shows') draft.shows.push(parseShows(rest, place));
  else if (word === 'source') draft.source = rest;
  else if (word === 'unit') readUnitLine(rest, draft.unit, place);
  else if (word === 'units') draft.unitIds = rest.split(/\s+/);
  else if (word === 'load') readLoadLine(rest, draft.unit, place);
  else if (word === 'limits') readLimitsLine(rest, draft.unit, place);
  else if (word === 'starts') draft.startMs = parseStart(rest, place);
  else if (word === 'every') draft.everyMs = parseDuration(rest, place);
  else if (word === 'outdoors' && rest.startsWith('every ')) {
    draft.outdoorsEveryMs = parseDuration(rest.slice('every '.length), place);
  } else return false;
  return true;
}

function parseShows(text: string, place: Place): ShownRow {
  const [table, row, ...more] = text.split(' ');
  const found = SHOWN_TABLES.find((each) => each === table);
  if (found !== undefined && row !== undefined && more.length === 0) return { table: found, row };
  const allowed = "'shows mark ROW', 'shows look-alike ROW' or 'shows alarm KIND' of coverage.ts";
  throw new CaseError(place, `'shows ${text}' names no row`, allowed);
}

function parseStart(text: string, place: Place): number {
  const match = /^(\d{4}-\d\d-\d\d) (\d\d:\d\d)$/.exec(text);
  const startMs = match === null ? Number.NaN : Date.parse(`${match[1]}T${match[2]}:00Z`);
  if (Number.isFinite(startMs)) return startMs;
  throw new CaseError(place, `'${text}' is no start`, "'2026-01-10 00:00', in UTC");
}

function checkWhole({ shows, source, spans, expectations }: Draft, place: Place): void {
  if (shows.length === 0) throw new CaseError(place, 'no row is shown', "a line 'shows mark ROW'");
  if (source === '') {
    throw new CaseError(place, 'no source is given', "'source common practice, no source'");
  }
  if (spans.every(({ of }) => of === 'outdoors')) {
    throw new CaseError(place, 'there are no readings', "a line such as '0h..6h idle, leak 1.1'");
  }
  if (!expectations.some(({ expected }) => expected.type === 'nothing-else')) {
    const allowed = "'expect nothing' or 'expect nothing else' among the expectations";
    throw new CaseError(place, 'what is not expected would go unseen', allowed);
  }
}
