import { daysBetween, instantMs, localTimeAt, plusDays } from './local-time.ts';
import type { Call, Rotation, Team } from './rota.ts';
import { type Turn, turnKey } from './turn.ts';

const DAYS_A_WEEK = 7;

/** The rotations behind a call, and how many turns ahead of them it is. */
interface Source {
  readonly rotations: readonly Rotation[];
  readonly ahead: number;
}

function sourceOf({ first, second }: Team, call: Call): Source {
  if (call === 'first') return { rotations: first, ahead: 0 };
  if (second === null) return { rotations: [], ahead: 0 };
  if ('offset' in second) return { rotations: first, ahead: second.offset };
  return { rotations: second, ahead: 0 };
}

/**
 * The turns of a call that touch a window, whole, one after the other without a gap; what comes
 * before the first rotation is one turn that nobody has, from the window's beginning. None for a
 * call that the team has not.
 */
export function rotationTurns(team: Team, call: Call, fromMs: number, toMs: number): Turn[] {
  const { rotations, ahead } = sourceOf(team, call);
  const [first] = rotations;
  if (first === undefined) return [];
  const begins = rotations.map((rotation) => handOverMs(rotation, 0, team.zone));
  const firstMs = begins[0] ?? fromMs;
  const turns: Turn[] = [];
  if (fromMs < firstMs) turns.push(before(call, first, fromMs, firstMs));
  for (const [index, rotation] of rotations.entries()) {
    const beginsMs = begins[index] ?? Number.POSITIVE_INFINITY;
    const endsMs = begins[index + 1] ?? Number.POSITIVE_INFINITY;
    if (beginsMs < toMs && endsMs > fromMs) {
      const window = { fromMs: Math.max(fromMs, beginsMs), toMs: Math.min(toMs, endsMs) };
      turns.push(...turnsOf(rotation, ahead, { team, call, ...window, endsMs }));
    }
  }
  return turns;
}

function before(call: Call, { from }: Rotation, fromMs: number, toMs: number): Turn {
  const gap = `the rotation of the ${call} call begins on ${from}`;
  return { key: `${call}-before`, kind: 'rotation', fromMs, toMs, date: '', person: null, gap };
}

interface Span {
  readonly team: Team;
  readonly call: Call;
  readonly fromMs: number;
  readonly toMs: number;
  /** Where the next rotation begins. */
  readonly endsMs: number;
}

function turnsOf(rotation: Rotation, ahead: number, span: Span): Turn[] {
  const { call, team, fromMs, toMs, endsMs } = span;
  const turns: Turn[] = [];
  let count = countAt(rotation, fromMs, team.zone);
  let startMs = handOverMs(rotation, count, team.zone);
  while (startMs < Math.min(toMs, endsMs)) {
    const nextMs = handOverMs(rotation, count + 1, team.zone);
    const person = rotation.people[(count + ahead) % rotation.people.length] ?? null;
    turns.push({
      key: turnKey(call, 'rotation', startMs),
      kind: 'rotation',
      fromMs: startMs,
      toMs: Math.min(nextMs, endsMs),
      date: handOverDate(rotation, count),
      person,
      gap: person === null ? `the rotation from ${rotation.from} on has nobody` : null,
    });
    count++;
    startMs = nextMs;
  }
  return turns;
}

/** Which turn of a rotation, counted from 0, holds an instant at or after its beginning. */
function countAt(rotation: Rotation, atMs: number, zone: string): number {
  const days = daysBetween(rotation.from, localTimeAt(atMs, zone).date);
  const near = Math.max(0, Math.floor(days / (rotation.turnWeeks * DAYS_A_WEEK)));
  // On the day of a hand-over the turn before it still holds until its time has come.
  return near > 0 && handOverMs(rotation, near, zone) > atMs ? near - 1 : near;
}

function handOverDate({ from, turnWeeks }: Rotation, count: number): string {
  return plusDays(from, count * turnWeeks * DAYS_A_WEEK);
}

function handOverMs(rotation: Rotation, count: number, zone: string): number {
  return instantMs(handOverDate(rotation, count), rotation.handOver.time, zone);
}
