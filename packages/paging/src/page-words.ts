import type { CauseEstimate } from '@lineside/anomaly';
import { causeWords, KIND_WORDS, PRIORITY_WORDS } from './alarm-words.ts';
import type { HeldBack, PageToHandOver } from './hand-over.ts';
import { worstFirst } from './order.ts';
import type { PagedAlarm, PageKind } from './paging-state.ts';
import { namesWithin, oneLine, shortened, sideBySide } from './short-text.ts';
import { clockTime, siteTime } from './site-time.ts';

/** What keeps people off a site's roofs now. */
export type RoofDanger = 'lightning' | 'wind' | 'ice';

/** What the words need to know of an alarm beside what pages keep. */
export interface AlarmFacts {
  readonly unitName: string;
  readonly siteName: string;
  /** IANA time zone of the site. */
  readonly zone: string;
  /** The most probable one. */
  readonly cause: CauseEstimate | null;
  readonly roofDanger: RoofDanger | null;
}

/** What a lock screen shows. */
export interface PageWords {
  readonly title: string;
  readonly body: string;
  /** All alarms, a line each, the worst first: for an e-mail, and for what the body cannot name. */
  readonly lines: readonly string[];
}

/** What a lock screen shows of a notification without unfolding it; common practice, no source. */
export const TITLE_MOST_CHARACTERS = 50;
export const BODY_MOST_CHARACTERS = 150;

/** Lines beyond which only emergencies are named one by one. */
export const LINES_MOST = 100;

type FactsOf = (alarm: PagedAlarm) => AlarmFacts;

/**
 * The words of a page. In lightning, wind or ice they ask nobody onto a roof and offer to make safe
 * from the upstream disconnect; they never ask anybody to open a compartment.
 */
export function pageWords(page: PageToHandOver, factsOf: FactsOf): PageWords {
  const alarms = worstFirst(page.stops.flatMap((stop) => stop.alarms));
  const open = [...alarms, ...page.alsoOpen];
  const [only] = open;
  if (only === undefined) throw new RangeError(`page ${page.key} has no alarm to speak of`);
  const isOne = open.length === 1;
  const body = isOne ? bodyOfOne(page, only, factsOf(only)) : bodyOfMany(page, open, factsOf);
  return {
    title: isOne ? titleOfOne(only, factsOf(only)) : titleOfMany(page, open),
    body,
    lines: linesOf(open, page.atMs, factsOf),
  };
}

function titleOfOne(alarm: PagedAlarm, { unitName, siteName }: AlarmFacts): string {
  const words = `${whatWords(alarm)}: `;
  const room = TITLE_MOST_CHARACTERS - words.length;
  return `${words}${sideBySide(oneLine(unitName), oneLine(siteName), room)}`;
}

function whatWords({ priority, kind, overAtMs }: PagedAlarm): string {
  const over = overAtMs === undefined ? '' : 'Over: ';
  return `${over}${PRIORITY_WORDS[priority]} ${KIND_WORDS[kind]}`;
}

/** `since 04:12 AST`, and until when if it is over. */
function sinceWords({ sinceMs, overAtMs }: PagedAlarm, nowMs: number, zone: string): string {
  const since = `since ${siteTime(sinceMs, nowMs, zone)}`;
  return overAtMs === undefined ? since : `${since} until ${siteTime(overAtMs, nowMs, zone)}`;
}

const MANY_WORDS: Readonly<Record<PageKind, string>> = {
  alone: '',
  emergencies: '',
  storm: 'Storm: ',
  others: '',
  digest: 'Digest: ',
};

function titleOfMany({ kind }: PageToHandOver, open: readonly PagedAlarm[]): string {
  const sites = new Set(open.map(({ site }) => site)).size;
  const standing = open.filter(({ overAtMs }) => overAtMs === undefined);
  const priorities = new Set(standing.map(({ priority }) => priority));
  const where = sites === 1 ? '1 site' : `${sites} sites`;
  if (kind === 'emergencies') return `${open.length} EMERGENCIES at ${where}`;
  if (standing.length === 0)
    return `${MANY_WORDS[kind]}${open.length} alarms at ${where}, all over`;
  const most = priorities.has('urgent') ? 'urgent' : 'routine';
  return `${MANY_WORDS[kind]}${open.length} alarms at ${where}, ${most}`;
}

function bodyOfOne(page: PageToHandOver, alarm: PagedAlarm, facts: AlarmFacts): string {
  const since = `S${sinceWords(alarm, page.atMs, facts.zone).slice(1)}.`;
  const danger =
    facts.roofDanger === null
      ? ''
      : `${DANGER_WORDS[facts.roofDanger]}: stay off the roof, make safe upstream.`;
  const held = heldBackWords(page.heldBack, facts.zone);
  const room = BODY_MOST_CHARACTERS - sentences([since, danger, held]).length - 1;
  const cause = causeWords(facts.cause);
  return sentences([since, cause.length <= room ? cause : '', danger, held]);
}

/** Names of units and sites, so that several fit. */
const NAME_MOST_CHARACTERS = 16;
/** What the worst get of a body; the rest is for the way. */
const WORST_MOST_CHARACTERS = 62;

function bodyOfMany(page: PageToHandOver, open: readonly PagedAlarm[], factsOf: FactsOf): string {
  const short = (name: string): string => shortened(oneLine(name), NAME_MOST_CHARACTERS);
  const sites = siteFacts(page, factsOf);
  const danger = dangerOfMany(sites);
  const [first] = sites;
  const held = heldBackWords(page.heldBack, first?.zone ?? 'UTC');
  const room = BODY_MOST_CHARACTERS - sentences([danger, held]).length - 1;
  if (page.kind === 'emergencies') {
    const units = open.map((alarm) => short(factsOf(alarm).unitName));
    return sentences([namesWithin('', units, room), danger, held]);
  }
  const worst = page.worst.map(
    (alarm) => `${short(factsOf(alarm).unitName)} ${KIND_WORDS[alarm.kind]}`,
  );
  const named = namesWithin('Worst: ', worst, Math.min(room, WORST_MOST_CHARACTERS));
  const way = sites.map(({ siteName }) => short(siteName));
  const visit = namesWithin(
    danger === '' ? 'Visit: ' : 'Once safe: ',
    way,
    room - named.length - 1,
  );
  return sentences([named, visit, danger, held]);
}

/** The facts of each site, in the order to visit; a danger that any of its alarms knows counts. */
function siteFacts({ stops, alsoOpen }: PageToHandOver, factsOf: FactsOf): readonly AlarmFacts[] {
  const bySite = new Map<string, AlarmFacts>();
  for (const alarm of [...stops.flatMap(({ alarms }) => alarms), ...alsoOpen]) {
    const facts = factsOf(alarm);
    const known = bySite.get(alarm.site);
    if (known === undefined) bySite.set(alarm.site, facts);
    else if (known.roofDanger === null && facts.roofDanger !== null) {
      bySite.set(alarm.site, { ...known, roofDanger: facts.roofDanger });
    }
  }
  return [...bySite.values()];
}

const DANGER_WORDS: Readonly<Record<RoofDanger, string>> = {
  lightning: 'Lightning',
  wind: 'High wind',
  ice: 'Ice',
};

function dangerOfMany(sites: readonly AlarmFacts[]): string {
  const dangers = sites.flatMap(({ roofDanger }) => roofDanger ?? []);
  const [first] = dangers;
  if (first === undefined) return '';
  const word = dangers.every((one) => one === first) ? DANGER_WORDS[first] : 'Storm';
  const where = sites.length === 1 ? '' : ` at ${dangers.length} of ${sites.length} sites`;
  return `${word}${where}: stay off the roofs.`;
}

function heldBackWords({ alarms, emergencies, untilMs }: HeldBack, zone: string): string {
  const untilWords = untilMs === null ? '' : clockTime(untilMs, zone);
  if (alarms === 0) return untilMs === null ? '' : `No more pages before ${untilWords}.`;
  const howMany = emergencies === alarms ? 'all' : emergencies;
  const urgency = emergencies === 0 ? '' : `, ${howMany} EMERGENCY`;
  const next = untilMs === null ? '' : `; next page ${untilWords}`;
  return `Held back: ${alarms}${urgency}${next}.`;
}

function linesOf(open: readonly PagedAlarm[], nowMs: number, factsOf: FactsOf): readonly string[] {
  const listed = open.filter(
    ({ priority }, index) => index < LINES_MOST || priority === 'emergency',
  );
  const lines = listed.map((alarm) => {
    const { unitName, siteName, zone } = factsOf(alarm);
    const since = sinceWords(alarm, nowMs, zone);
    return `${whatWords(alarm)}: ${oneLine(unitName)}, ${oneLine(siteName)}, ${since}`;
  });
  const more = open.length - listed.length;
  return more === 0 ? lines : [...lines, `and ${more} more`];
}

function sentences(parts: readonly string[]): string {
  return parts.filter((part) => part !== '').join(' ');
}
