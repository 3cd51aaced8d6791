import {
  BEATING_PARTS,
  DEFAULT_BYSTANDER_LIMITS,
  type Heard,
  type Heartbeat,
  isAllWell,
  newBystander,
  stepBystander,
  type Telling,
} from '../src/bystander/index.ts';

export const SECOND_MS = 1000;
export const MINUTE_MS = 60 * SECOND_MS;
export const START_MS = Date.UTC(2026, 0, 10);

const BEAT_EVERY_MS = 5 * SECOND_MS;

/** All parts at one age, but for one. */
export function beatsOf(ageMs: number, other?: Heartbeat): readonly Heartbeat[] {
  return BEATING_PARTS.map((part) => (part === other?.part ? other : { part, ageMs, waiting: 0 }));
}

type Beats = readonly Heartbeat[] | ((nowMs: number) => readonly Heartbeat[]);

/** A bystander in virtual time, which looks each second. */
export class BystanderLife {
  nowMs = START_MS;
  state = newBystander(START_MS);
  readonly tellings: Telling[] = [];

  hear(heard: Heard): void {
    const { state, tellings } = stepBystander(this.state, heard, this.nowMs);
    this.state = state;
    this.tellings.push(...tellings);
  }

  quietFor(ms: number): void {
    for (const untilMs = this.nowMs + ms; this.nowMs < untilMs; ) {
      this.nowMs += SECOND_MS;
      this.hear({ kind: 'nothing' });
    }
  }

  beatFor(ms: number, beats: Beats): void {
    for (const untilMs = this.nowMs + ms; this.nowMs < untilMs; ) {
      this.hear({ kind: 'beats', beats: typeof beats === 'function' ? beats(this.nowMs) : beats });
      this.quietFor(Math.min(BEAT_EVERY_MS, untilMs - this.nowMs));
    }
  }

  /** A new server's bystander takes the place of this one. */
  handOver(): void {
    this.state = newBystander(this.nowMs, this.state.parts);
  }

  isAllWell(): boolean {
    return isAllWell(this.state, this.nowMs, DEFAULT_BYSTANDER_LIMITS);
  }
}
