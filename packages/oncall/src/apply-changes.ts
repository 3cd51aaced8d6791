import { instantMs } from './local-time.ts';
import type { Call, Change, Cover, Swap, SwapSide, Team } from './rota.ts';
import { changeWithin, type Segment } from './segment.ts';

/** A call after its covers and swaps. */
export interface Changed {
  readonly segments: readonly Segment[];
  /**
   * By the key of the turn: how often its shifts have been altered, twice for what was called off
   * again. Changes are appended and called off, never taken out, so it only rises.
   */
  readonly revisions: ReadonlyMap<string, number>;
  /** Ids of changes that altered something; of a swap, with `/one` or `/other` behind it. */
  readonly effective: ReadonlySet<string>;
}

/**
 * Applies covers and swaps in the order in which they were agreed. Each gives somebody's segments
 * to somebody else and never takes them from everybody, so where one was on call, one is.
 *
 * @param dates first and last local date near the segments, to leave out changes far from them.
 */
export function applyChanges(
  team: Team,
  call: Call,
  planned: readonly Segment[],
  dates: { readonly first: string; readonly last: string },
): Changed {
  const revisions = new Map<string, number>();
  const effective = new Set<string>();
  let segments = planned;
  for (const change of team.changes) {
    if ((change.call ?? call) !== call) continue;
    const touched = new Set<string>();
    const changed = applied(team.zone, change, segments, dates, (key, part) => {
      touched.add(key);
      effective.add(part);
    });
    for (const key of touched) {
      revisions.set(key, (revisions.get(key) ?? 0) + (change.calledOff ? 2 : 1));
    }
    if (!change.calledOff) segments = changed;
  }
  return { segments, revisions, effective };
}

/** Notes the key of a turn that is altered, and by which change or side of a swap. */
type Note = (turnKey: string, part: string) => void;

function applied(
  zone: string,
  change: Change,
  segments: readonly Segment[],
  dates: { readonly first: string; readonly last: string },
  note: Note,
): readonly Segment[] {
  if (change.kind === 'swap') return swapped(change, segments, note);
  const isFar = change.from.slice(0, 10) > dates.last || change.to.slice(0, 10) < dates.first;
  return isFar ? segments : covered(zone, change, segments, note);
}

function covered(
  zone: string,
  cover: Cover,
  segments: readonly Segment[],
  note: Note,
): readonly Segment[] {
  const { fromMs, toMs } = coverWindow(cover, zone);
  return changeWithin(segments, fromMs, toMs, (segment) => {
    if (segment.person !== cover.for) return segment;
    note(segment.turn.key, cover.id);
    return { ...segment, person: cover.by, changes: [...segment.changes, cover.id] };
  });
}

/** From when to when a cover holds. */
export function coverWindow(
  { from, to }: Cover,
  zone: string,
): { readonly fromMs: number; readonly toMs: number } {
  const at = (dateTime: string): number =>
    instantMs(dateTime.slice(0, 10), dateTime.slice(11), zone);
  return { fromMs: at(from), toMs: at(to) };
}

function swapped(swap: Swap, segments: readonly Segment[], note: Note): readonly Segment[] {
  const { id, one, other } = swap;
  return segments.map((segment) => {
    const give = (to: string, part: string): Segment => {
      note(segment.turn.key, `${id}/${part}`);
      return { ...segment, person: to, changes: [...segment.changes, id] };
    };
    const isOf = (side: SwapSide): boolean =>
      segment.turn.date === side.shift && segment.person === side.person;
    if (isOf(one)) return give(other.person, 'one');
    if (isOf(other)) return give(one.person, 'other');
    return segment;
  });
}
