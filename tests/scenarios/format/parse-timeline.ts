/** Lines of the timeline: a stretch of time, a rhythm within it, and what holds then. */
import { CaseError, offered, type Place } from './case-error.ts';
import { parseSettings } from './parse-settings.ts';
import type { Rhythm, ServiceLine, Span } from './scenario-case.ts';
import { MINUTE_MS, parseSinceStart, parseTimeOfDay, parseWindow } from './times.ts';

const DAILY = /^each day (\S+)\.\.(\S+)\s+(.*)$/;
const CYCLE = /^(\d+) of every (\d+) min\s+(.*)$/;

/** `0h..6h idle, leak 1.1`, `0d..9d each day 02:00..06:00 leak 9`, `0h..9h 12 of every 30 min …` */
export function parseSpan(text: string, unit: string | null, place: Place): Span {
  const outdoors = text.startsWith('outdoors ');
  const line = outdoors ? text.slice('outdoors '.length).trim() : text;
  const match = /^(\S+)\s+(.*)$/.exec(line);
  if (match === null) {
    throw new CaseError(place, `'${text}' says nothing`, "a time, then what holds: '0h..6h idle'");
  }
  const window = parseWindow(match[1] ?? '', place);
  if (window.fromMs === window.toMs) {
    throw new CaseError(place, `'${match[1]}' lasts no time`, "'6h..9h': from, and to before 9h");
  }
  const { rhythm, rest } = parseRhythm(match[2] ?? '', place);
  const settings = parseSettings(rest, outdoors, place);
  return { ...window, of: outdoors ? 'outdoors' : { unit }, rhythm, settings };
}

function parseRhythm(text: string, place: Place): { rhythm: Rhythm | null; rest: string } {
  const daily = DAILY.exec(text);
  if (daily !== null) {
    const fromMs = parseTimeOfDay(daily[1] ?? '', place);
    const toMs = parseTimeOfDay(daily[2] ?? '', place);
    return { rhythm: { type: 'daily', fromMs, toMs }, rest: daily[3] ?? '' };
  }
  const cycle = CYCLE.exec(text);
  if (cycle === null) return { rhythm: null, rest: text };
  const onMs = Number(cycle[1]) * MINUTE_MS;
  const periodMs = Number(cycle[2]) * MINUTE_MS;
  if (onMs === 0 || onMs >= periodMs) {
    const wrong = `'${cycle[1]} of every ${cycle[2]} min' is no cycle`;
    throw new CaseError(place, wrong, 'some minutes, fewer than the period has');
  }
  return { rhythm: { type: 'cycle', onMs, periodMs }, rest: cycle[3] ?? '' };
}

const ACTIONS = [
  'fuses-replaced',
  'contactor-replaced',
  'connector-replaced',
  'cleaned',
  'sealed',
  'gasket-replaced',
  'drain-cleared',
  'connections-torqued',
  'insulation-test',
  'inspection',
  'root-cause',
  'disconnect-opened',
  'disconnect-closed',
];

/** `at 7d3h service fuses-replaced a c` */
export function parseService(text: string, unit: string | null, place: Place): ServiceLine {
  const match = /^at (\S+)\s+service (\S+)((?: [abc])*)$/.exec(text);
  if (match === null) {
    const allowed = "'at 7d3h service fuses-replaced a c'";
    throw new CaseError(place, `'${text}' is no service record`, allowed);
  }
  const [, time = '', action = '', phases = ''] = match;
  if (!ACTIONS.includes(action)) {
    throw new CaseError(place, `'${action}' is no service action`, offered(ACTIONS));
  }
  const named = (['a', 'b', 'c'] as const).filter((phase) => phases.includes(` ${phase}`));
  return {
    unit,
    atMs: parseSinceStart(time, place),
    action,
    phases: named.length === 0 ? null : named,
  };
}
