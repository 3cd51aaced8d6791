import type { Unit } from '@lineside/fleet';
import type { SurfaceMoisture } from './deposits.ts';
import type { Fault, TrackFault } from './fault-kinds.ts';
import type { Feed } from './feed.ts';
import { arcGoesOut, arcSpread, flashesOver } from './flash-over.ts';
import { type GroundPath, groundPath } from './ground-path.ts';
import type { GroundedSystem } from './grounding.ts';
import type { PhaseCurrents } from './phasor.ts';
import { type RandomStream, randomStream } from './random.ts';
import type { Phase } from './scenario.ts';
import type { UnitSupply } from './supply.ts';
import { flashOverNow, startTrack, stepTrack, type TrackState, wipeTrack } from './track.ts';

export interface TrackTruth extends Readonly<TrackState> {
  readonly kind: TrackFault['kind'];
}

export interface Track {
  readonly fault: TrackFault;
  /** Its place in the script's faults. */
  readonly index: number;
  readonly state: TrackState;
  readonly path: GroundPath | null;
  readonly random: RandomStream;
}

/** Fuses that a track opens. */
export interface Opening {
  readonly index: number;
  readonly opens: readonly Phase[];
}

/** An arc conducts so well that nothing but the system around it limits its current. */
const ARC_MICROSIEMENS = 1e7;
/** What a fuse clears within a fraction of a second, over its rating (common practice). */
const CLEARING_FACTOR = 5;
const USUAL_FUSE_AMPS = 50;

/** All tracks of one unit. They sit on the line side: live whenever the disconnect is closed. */
export class TrackBank {
  private live: Track[];
  private readonly clearingAmps: number;

  constructor(unit: Unit, faults: readonly Fault[], seed: number) {
    this.clearingAmps = CLEARING_FACTOR * (unit.fuses.amps ?? USUAL_FUSE_AMPS);
    this.live = faults.flatMap((fault, index) =>
      fault.kind === 'track-to-ground' || fault.kind === 'track-between-poles'
        ? [
            {
              fault,
              index,
              state: startTrack(fault),
              path: fault.kind === 'track-to-ground' ? groundPath(fault.phase, index) : null,
              random: randomStream(seed, `${unit.site}/${unit.id}/track/${index}`),
            },
          ]
        : [],
    );
  }

  get tracks(): readonly Track[] {
    return this.live;
  }

  /** Steps every track and adds the current of those between poles to the phases. */
  step(
    surface: SurfaceMoisture,
    feed: Feed,
    supply: UnitSupply,
    system: GroundedSystem,
    currents: PhaseCurrents,
    atMs: number,
    stepSeconds: number,
  ): void {
    for (const { fault, state, path, random } of this.live) {
      if (fault.fromMs !== undefined && atMs < fault.fromMs) continue;
      if (fault.kind === 'track-to-ground') {
        const volts = feed.live(fault.phase) ? system.volts.magnitude(fault.phase) : 0;
        stepTrack(state, fault, surface, volts, random, stepSeconds);
        if (arcGoesOut(state)) state.arcing = false;
        if (path !== null) path.microsiemens = state.arcing ? ARC_MICROSIEMENS : state.microsiemens;
        continue;
      }
      const [from, to] = fault.phases;
      const volts = feed.live(from) && feed.live(to) ? supply.lineVolts(from, to) : 0;
      stepTrack(state, fault, surface, volts, random, stepSeconds);
      currents.addBetween(from, to, state.milliamps / 1000, 0, supply.volts);
    }
  }

  /** Takes over the currents that the ground's place among the phases has led to. */
  settle(): void {
    for (const { path, state } of this.live) {
      if (path !== null) state.milliamps = 1000 * Math.hypot(path.x, path.y);
    }
  }

  /** Arcs whose current a fuse clears: what opens now. An arc that nothing feeds is out. */
  clearedArcs(): Opening[] {
    const openings: Opening[] = [];
    for (const { fault, index, path, state, random } of this.live) {
      if (!state.arcing || path === null || fault.kind !== 'track-to-ground') continue;
      if (Math.hypot(path.x, path.y) < this.clearingAmps) continue;
      state.arcing = false;
      openings.push({ index, opens: arcSpread([fault.phase], random) });
    }
    return openings;
  }

  /** Sparks of the tracks to ground in the last step: how many, and how far above the current. */
  bursts(): { count: number; extraMilliamps: number } {
    let count = 0;
    let extraMilliamps = 0;
    for (const { path, state } of this.live) {
      if (path === null) continue;
      count += state.burstCount;
      extraMilliamps += state.milliamps * (state.peakFactor - 1);
    }
    return { count, extraMilliamps };
  }

  /** Flash-overs that open fuses now: those of the script, and by chance those between poles. */
  flashOvers(atMs: number, stepSeconds: number): Opening[] {
    const openings: Opening[] = [];
    for (const { fault, index, state, random } of this.live) {
      const opens = flashOverNow(state, fault.flashOvers, atMs);
      if (opens.length > 0) openings.push({ index, opens });
      if (fault.flashesByItself !== true || !flashesOver(state, random, stepSeconds)) continue;
      if (fault.kind === 'track-to-ground') state.arcing = true;
      else openings.push({ index, opens: arcSpread(fault.phases, random) });
    }
    return openings;
  }

  /** The tracked parts are replaced and the plate is clean. */
  remove(): void {
    this.live = [];
  }

  wipe(): void {
    for (const { state } of this.live) wipeTrack(state);
  }

  truth(): TrackTruth[] {
    return this.live.map(({ fault, state }) => ({ ...state, kind: fault.kind }));
  }
}
