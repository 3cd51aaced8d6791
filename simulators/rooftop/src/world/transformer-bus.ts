import { GroundAdmittance } from './grounding.ts';
import type { GroundElsewhere, SharedTransformer } from './scenario.ts';

/** What a unit has to ground reaches its neighbours after so long, whoever is stepped first. */
const SEEN_AFTER_MS = 60_000;
/** So many steps are kept of each unit: enough for steps of 20 s. */
const KEPT_STEPS = 6;

interface Published {
  atMs: number;
  readonly admittance: GroundAdmittance;
}

/** What the units of one transformer have to ground, as their neighbours come to see it. */
export class TransformerBus {
  private readonly members = new Map<string, Published[]>();
  private readonly elsewhere: readonly GroundElsewhere[];
  private readonly others = new GroundAdmittance();

  constructor(transformer: SharedTransformer) {
    this.elsewhere = transformer.groundsElsewhere ?? [];
    for (const unit of transformer.units) {
      this.members.set(
        unit,
        Array.from({ length: KEPT_STEPS }, () => ({
          atMs: Number.NEGATIVE_INFINITY,
          admittance: new GroundAdmittance(),
        })),
      );
    }
  }

  publish(unit: string, atMs: number, own: GroundAdmittance): void {
    const kept = this.members.get(unit);
    const oldest = kept?.shift();
    if (kept === undefined || oldest === undefined) return;
    oldest.atMs = atMs;
    oldest.admittance.clear();
    oldest.admittance.addFrom(own);
    kept.push(oldest);
  }

  /** Everything on the transformer but this unit; overwritten by the next call. */
  othersOf(unit: string, atMs: number): GroundAdmittance {
    const { others } = this;
    others.clear();
    for (const [name, kept] of this.members) {
      if (name === unit) continue;
      const seen = kept.findLast((published) => published.atMs <= atMs - SEEN_AFTER_MS);
      if (seen !== undefined) others.addFrom(seen.admittance);
    }
    for (const ground of this.elsewhere) {
      if (atMs >= ground.fromMs && atMs < ground.toMs)
        others[ground.phase].g += ground.microsiemens;
    }
    return others;
  }
}
