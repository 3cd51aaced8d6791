import {
  type Alarm,
  type AlarmFigures,
  type AlarmJournalEntry,
  alarmFigures,
} from '@lineside/alarms';
import { parseRota, teamOfSite } from '@lineside/oncall';
import type { ApiDependencies } from '../dependencies.ts';
import { alarmsWithin, type Window } from '../routes/alarms-within.ts';

/** Alarms whose journals are asked for at once: others wait for the store as well. */
const ALARMS_PER_READ = 50;

/** What floods and chattering that begin before the window need, and more. */
const BEFORE_MS = 24 * 60 * 60_000;

/**
 * Figures of the alarm system over a window, from the journals of the alarms in it. Throws 400 when
 * there are more alarms than one answer takes.
 *
 * @param sites only these; absent: all.
 */
export async function figuresOver(
  dependencies: ApiDependencies,
  window: Window,
  sites: readonly string[] | undefined,
): Promise<readonly AlarmFigures[]> {
  const { records } = dependencies;
  const wider = { fromMs: Math.max(0, window.fromMs - BEFORE_MS), toMs: window.toMs };
  const alarms = await alarmsWithin(records, wider, sites);
  const entries: AlarmJournalEntry[] = [];
  for (let at = 0; at < alarms.length; at += ALARMS_PER_READ) {
    const some = alarms.slice(at, at + ALARMS_PER_READ);
    const journals = await Promise.all(some.map(({ id }) => records.journalOf(id)));
    entries.push(...journals.flat().map(withoutWords));
  }
  return alarmFigures(entries, window, await positions(dependencies, sites));
}

/** The figures take times and states only; what they do not take would fill the memory. */
function withoutWords(entry: AlarmJournalEntry): AlarmJournalEntry {
  const { alarm } = entry;
  const priorities = alarm.priorities.map((step) => ({ ...step, causes: [] }));
  const bare: Alarm = { ...alarm, headline: '', evidence: {}, causes: [], priorities };
  return { ...entry, note: null, alarm: bare };
}

/** The team that answers each site's alarms; nothing without a rota. */
async function positions(
  { records, fleet, log }: ApiDependencies,
  sites: readonly string[] | undefined,
): Promise<ReadonlyMap<string, string>> {
  const stored = await records.loadRota();
  if (stored === null) return new Map();
  try {
    const rota = parseRota(stored.document, 'the stored rota');
    const all = fleet().sites.filter(({ id }) => sites === undefined || sites.includes(id));
    return new Map(
      all.flatMap(({ id }) => {
        const team = teamOfSite(rota, id);
        return team === null ? [] : [[id, team.name] as const];
      }),
    );
  } catch (error) {
    log.warn({ err: error }, 'the stored rota cannot be read; figures have no positions');
    return new Map();
  }
}
