import type { LookedAfter } from './heartbeat.ts';
import type { Telling } from './step-bystander.ts';

/** What a lock screen shows of a telling. */
export interface TellingWords {
  readonly title: string;
  readonly body: string;
}

const MINUTE_MS = 60_000;

const STOPPED_TITLE: Readonly<Record<LookedAfter, string>> = {
  server: 'Lineside has stopped: nobody is alarmed',
  ingest: 'Lineside stores no readings',
  judging: 'Lineside does not judge readings',
  paging: 'Lineside sends no pages',
  delivery: 'No page gets through to anybody',
};

const AGAIN_TITLE: Readonly<Record<LookedAfter, string>> = {
  server: 'Lineside works again',
  ingest: 'Lineside stores readings again',
  judging: 'Lineside judges readings again',
  paging: 'Lineside sends pages again',
  delivery: 'Pages get through again',
};

const WAITING_WORDS: Readonly<Record<LookedAfter, string | null>> = {
  server: null,
  ingest: 'bytes wait to be stored',
  judging: 'readings wait to be judged',
  paging: 'pages wait',
  delivery: 'pages wait to be handed over',
};

/**
 * The words of a telling; times are UTC, since a server has no zone.
 *
 * @param place what tells one installation from another, such as its web address
 */
export function tellingWords(telling: Telling, place: string): TellingWords {
  const { part, news } = telling;
  const since = `since ${utcTime(telling.sinceMs)} UTC (${forWords(telling)})`;
  if (news === 'works-again') {
    const was = `It had stopped ${since}.`;
    return {
      title: AGAIN_TITLE[part],
      body: `${was} Nodes send what they kept meanwhile; alarms in it follow. ${place}`,
    };
  }
  return { title: STOPPED_TITLE[part], body: `${stoppedWords(telling, since)} ${place}` };
}

function stoppedWords(telling: Telling, since: string): string {
  const { part, hasEnded, waiting } = telling;
  if (part === 'server') {
    return hasEnded
      ? `It ended without being told to, ${since}. No alarm reaches anybody: start it again.`
      : `It is there but does nothing, ${since}. No alarm reaches anybody: look, and restart it.`;
  }
  const words = WAITING_WORDS[part];
  const waits = waiting === null || words === null ? '' : ` ${waiting} ${words}.`;
  if (part === 'delivery') {
    return `None did ${since}.${waits} Look at mail server, gateways and the way out to them.`;
  }
  return `Nothing went on ${since}.${waits} Look at /api/health and the log; a restart may help.`;
}

function forWords({ sinceMs, atMs }: Telling): string {
  const minutes = Math.max(0, Math.floor((atMs - sinceMs) / MINUTE_MS));
  if (minutes < 1) return 'under a minute';
  if (minutes < 120) return `${minutes} min`;
  return `${Math.floor(minutes / 60)} h`;
}

function utcTime(atMs: number): string {
  return new Date(atMs).toISOString().slice(0, 16).replace('T', ' ');
}
