import type { ChannelValues } from '@lineside/readings';
import type { RunTruth, UnitRunTruth, UnitWorld } from '@lineside/rooftop';
import type { CasePlan } from '../cohorts/case-plan.ts';
import { LEAST_WETTING_MS } from '../scoring/episode-score.ts';
import { type ObservedUnit, observedUnits } from '../scoring/observed-unit.ts';
import { idealAlarms } from './ideal-findings.ts';
import { KnowingWatch } from './knowing-watch.ts';
import { LimitDemand } from './limit-demand.ts';
import { Silences } from './silences.ts';
import { WettingWatch } from './wetting-watch.ts';
import { playWithout, playWithoutLookAlikes } from './world-without.ts';

/** What the detector that knows the world found in a case. Plain data. */
export interface IdealOutcome {
  /** Its alarms, and wettings by the values as they were sent. */
  readonly units: readonly ObservedUnit[];
  /** No alarms; wettings by values with no error but noise and creep. */
  readonly offsetsKnown: readonly ObservedUnit[];
  /** Wettings long enough to be judged of which the node sent less than half. */
  readonly unheardWettings: number;
  /** Units without a fault of which the limits of the trade demand an urgent leakage alarm. */
  readonly unitsOverLimits: number;
}

interface Watched {
  readonly world: UnitWorld;
  readonly faults: KnowingWatch | null;
  readonly wettings: WettingWatch;
  readonly silences: Silences;
  /** Null for a unit with a fault. */
  readonly limits: LimitDemand | null;
}

/** Watches the readings of one case while they are simulated, with the world beside it. */
export class IdealCase {
  private readonly plan: CasePlan;
  private readonly watched: ReadonlyMap<string, Watched>;

  constructor(plan: CasePlan, worlds: readonly UnitWorld[]) {
    const { endMs, scenario, seed } = plan;
    const without = playWithout(plan);
    const plain = playWithoutLookAlikes(plan);
    this.plan = plan;
    this.watched = new Map(
      worlds.map((world) => {
        const other = without?.get(world.unit.id);
        const lastsMs = endMs - scenario.startMs;
        const faults = other === undefined ? null : new KnowingWatch(world, other, seed, lastsMs);
        const wettings = new WettingWatch(world, seed, scenario.startMs);
        const silences = new Silences(scenario.startMs);
        const isHealthy = world.script.faults.length === 0;
        const limits = isHealthy
          ? new LimitDemand(world.unit, scenario.startMs, plain?.get(world.unit.id) ?? null)
          : null;
        return [world.unit.id, { world, faults, wettings, silences, limits }];
      }),
    );
  }

  /** Right after the unit's world took this reading. */
  reading(unit: string, atMs: number, channels: ChannelValues): void {
    const one = this.watched.get(unit);
    if (one === undefined) return;
    one.silences.heard(atMs);
    const truth = one.world.truth();
    one.wettings.reading(atMs, channels, truth);
    one.faults?.reading(atMs, channels, truth);
    one.limits?.reading(atMs, channels);
  }

  end(truth: RunTruth): IdealOutcome {
    const all = [...this.watched.values()].map(({ world, faults, wettings }) => {
      const { site, id } = world.unit;
      const alarms = idealAlarms(site, id, faults?.found() ?? []);
      return { site, unit: id, alarms, episodes: wettings.episodes() };
    });
    const common = { observedMs: null, everyMs: this.plan.everyMs };
    const found = all.map(({ episodes, ...one }) => ({
      ...one,
      ...common,
      episodes: episodes.sent,
    }));
    const known = all.map(({ episodes, ...one }) => {
      return { ...one, ...common, alarms: [], episodes: episodes.offsetsKnown };
    });
    return {
      units: observedUnits(truth, found),
      offsetsKnown: observedUnits(truth, known),
      unheardWettings: truth.units.reduce((sum, unit) => sum + this.unheard(unit), 0),
      unitsOverLimits: [...this.watched.values()].filter(({ limits }) => limits?.isDemanded())
        .length,
    };
  }

  private unheard({ unit, wettings }: UnitRunTruth): number {
    const silences = this.watched.get(unit)?.silences;
    silences?.heard(this.plan.endMs);
    return wettings.filter((wetting) => {
      return wetting.endMs - wetting.startMs >= LEAST_WETTING_MS && silences?.hid(wetting) === true;
    }).length;
  }
}
