import type { Unit } from '@lineside/fleet';
import type { SurfaceMoisture } from './deposits.ts';
import type { Feed } from './feed.ts';
import type { GroundDrive } from './grounding.ts';
import type { GroundCurrent } from './leakage.ts';
import type { PhaseCurrents } from './phasor.ts';
import { type RandomStream, randomStream } from './random.ts';
import type { Fault, Phase } from './scenario.ts';
import { flashOverNow, startTrack, stepTrack, type TrackState } from './track.ts';

type TrackFault = Fault & { kind: 'track-to-ground' | 'track-between-poles' };

export interface TrackTruth extends Readonly<TrackState> {
  readonly kind: TrackFault['kind'];
}

interface Track {
  readonly fault: TrackFault;
  readonly state: TrackState;
  readonly random: RandomStream;
}

/** All tracks of one unit. They sit on the line side: live whenever the disconnect is closed. */
export class TrackBank {
  private tracks: Track[];
  private readonly lineVolts: number;
  private readonly drives: Readonly<Record<Phase, GroundDrive>>;

  constructor(
    unit: Unit,
    faults: readonly Fault[],
    drives: Readonly<Record<Phase, GroundDrive>>,
    seed: number,
  ) {
    this.lineVolts = unit.supply.volts;
    this.drives = drives;
    this.tracks = faults.flatMap((fault, index) =>
      fault.kind === 'track-to-ground' || fault.kind === 'track-between-poles'
        ? [
            {
              fault,
              state: startTrack(fault),
              random: randomStream(seed, `${unit.site}/${unit.id}/track/${index}`),
            },
          ]
        : [],
    );
  }

  /** Steps every track and adds the current of those between poles to the phases. */
  step(
    surface: SurfaceMoisture,
    shares: Readonly<Record<Phase, number>>,
    feed: Feed,
    currents: PhaseCurrents,
    stepSeconds: number,
  ): void {
    for (const { fault, state, random } of this.tracks) {
      if (fault.kind === 'track-to-ground') {
        const drive = this.drives[fault.phase];
        const volts = feed.live(fault.phase) ? drive.volts * shares[fault.phase] : 0;
        stepTrack(state, fault, surface, volts, drive.seriesOhms, random, stepSeconds);
        continue;
      }
      const [from, to] = fault.phases;
      const volts =
        feed.live(from) && feed.live(to) ? 0.5 * this.lineVolts * (shares[from] + shares[to]) : 0;
      stepTrack(state, fault, surface, volts, 0, random, stepSeconds);
      currents.addBetween(from, to, state.milliamps / 1000, 0);
    }
  }

  toGround(): GroundCurrent[] {
    return this.tracks.flatMap(({ fault, state }) =>
      fault.kind === 'track-to-ground' ? [{ phase: fault.phase, milliamps: state.milliamps }] : [],
    );
  }

  /** Sparks of the tracks to ground in the last step: how many, and how far above the current. */
  bursts(): { count: number; extraMilliamps: number } {
    let count = 0;
    let extraMilliamps = 0;
    for (const { fault, state } of this.tracks) {
      if (fault.kind !== 'track-to-ground') continue;
      count += state.burstCount;
      extraMilliamps += state.peakMilliamps - state.milliamps;
    }
    return { count, extraMilliamps };
  }

  /** Fuses that flash-overs open now. */
  flashOvers(atMs: number): Phase[] {
    return this.tracks.flatMap(({ fault, state }) => [
      ...flashOverNow(state, fault.flashOvers, atMs),
    ]);
  }

  /** The tracked parts are replaced and the plate is clean. */
  remove(): void {
    this.tracks = [];
  }

  truth(): TrackTruth[] {
    return this.tracks.map(({ fault, state }) => ({ ...state, kind: fault.kind }));
  }
}
