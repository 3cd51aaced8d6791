import {
  afterFarewell,
  type BystanderLimits,
  type BystanderState,
  DEFAULT_BYSTANDER_LIMITS,
  type Heard,
  isAllWell,
  newBystander,
  stepBystander,
} from '@lineside/paging/bystander';
import { createChannels } from '../channels/create-channels.ts';
import { createOutsideGuard } from '../channels/outside-guard.ts';
import { Ping } from './ping.ts';
import type { BystanderSettings, ServerLine, ServerReadings, ToldContact } from './pipe-lines.ts';
import { type Say, Teller } from './teller.ts';

/** How long after a crash it is told again and again; somebody has heard it by then, or nobody will. */
const ENDS_AFTER_CRASH_MS = 12 * 3_600_000;

export type Troubles = BystanderState['parts'];

/** What a bystander keeps for the one after it, in the data folder. */
export interface KeptTroubles {
  /** Takes the place of whoever looked before; gives what that one kept. */
  claim(): Troubles | null;
  /** Another has taken the place, or the data folder is no more. */
  isTaken(): boolean;
  save(troubles: Troubles): void;
}

export interface BystanderParts {
  readonly kept: KeptTroubles;
  readonly clock: () => number;
  /** From 0 to below 1, evenly spread. */
  readonly random: () => number;
  readonly say: Say;
}

/** Why a bystander ends. */
export type BystanderEnd = 'farewell' | 'taken-over' | 'told-long-enough' | 'never-set-up';

/**
 * Looks after a server from outside of it: hears its heartbeats, and tells people over channels of
 * its own when they stop. Call `look` each second; end it with `close` when `look` says so.
 */
export class Bystander {
  readonly #parts: BystanderParts;
  #limits: BystanderLimits = DEFAULT_BYSTANDER_LIMITS;
  #state: BystanderState;
  #saved: string;
  #teller: Teller | null = null;
  #ping: Ping | null = null;
  #contacts: readonly ToldContact[] = [];
  #readings: ServerReadings | null = null;
  #end: BystanderEnd | null = null;

  constructor(parts: BystanderParts) {
    this.#parts = parts;
    const before = parts.kept.claim();
    this.#state = newBystander(parts.clock(), before);
    this.#saved = JSON.stringify(this.#state.parts);
  }

  hear(line: ServerLine): void {
    switch (line.kind) {
      case 'settings':
        this.#setUp(line);
        return;
      case 'contacts':
        this.#contacts = line.contacts;
        return;
      case 'beats':
        this.#readings = line.readings;
        this.#step({ kind: 'beats', beats: line.beats });
        return;
      case 'did-not-start':
        // After a crash it is one more try that failed, and the pipe closes next.
        if (this.#state.parts.server.brokenSinceMs === null) this.#end ??= 'farewell';
        return;
      case 'farewell':
        this.#end ??= 'farewell';
    }
  }

  /** The pipe from the server is closed. */
  closed(): void {
    if (this.#end !== null) return;
    if (this.#teller === null) this.#end = 'never-set-up';
    else this.#step({ kind: 'closed' });
  }

  /** What follows from the time; says why to end, null to go on. */
  look(): BystanderEnd | null {
    const { kept, clock } = this.#parts;
    if (kept.isTaken()) return 'taken-over';
    if (this.#end !== null) return this.#end;
    this.#step({ kind: 'nothing' });
    const nowMs = clock();
    const { closedAtMs } = this.#state;
    if (closedAtMs !== null && nowMs - closedAtMs >= ENDS_AFTER_CRASH_MS) return 'told-long-enough';
    const isWell = isAllWell(this.#state, nowMs, this.#limits);
    if (isWell && this.#readings !== null) this.#ping?.allIsWell(this.#readings);
    return null;
  }

  /** Ends tries at once; what was told is kept unless another has taken over. */
  async close(): Promise<void> {
    const { kept } = this.#parts;
    if (this.#end === 'farewell' && !kept.isTaken()) kept.save(afterFarewell(this.#state));
    await Promise.all([this.#teller?.close(), this.#ping?.close()]);
  }

  #setUp(settings: BystanderSettings): void {
    const { clock, random, say } = this.#parts;
    const { graceMs, place, mail, vapid, allowedNetworks, ping } = settings;
    this.#limits = { ...DEFAULT_BYSTANDER_LIMITS, graceMs, settledForMs: graceMs };
    const channels = createChannels({ mail, vapid, allowedNetworks, clock });
    this.#teller = new Teller({ channels, place, clock, random, say });
    const guard = createOutsideGuard({ allow: allowedNetworks });
    this.#ping = ping === null ? null : new Ping({ settings: ping, guard, clock, random, say });
  }

  #step(heard: Heard): void {
    const { clock, kept, say } = this.#parts;
    const { state, tellings } = stepBystander(this.#state, heard, clock(), this.#limits);
    this.#state = state;
    const troubles = JSON.stringify(state.parts);
    if (troubles !== this.#saved && !kept.isTaken()) {
      kept.save(state.parts);
      this.#saved = troubles;
    }
    for (const telling of tellings) {
      say('warn', `${telling.part}: ${telling.news}`, { key: telling.key });
      this.#teller?.tell(telling, this.#contacts);
    }
  }
}
