import { lagShare } from './drift.ts';
import type { Feed } from './feed.ts';
import { during, type LookAlike } from './look-alike-kinds.ts';
import type { PhaseCurrents } from './phasor.ts';
import type { RandomStream } from './random.ts';
import type { UnitSupply } from './supply.ts';

const WORK_BEGINS_HOUR = 7;
const WORK_ENDS_HOUR = 17;
/** Somebody plugs in and out every so often on average, s (assumption). */
const SPELL_SECONDS = 2400;

/** A service outlet on the unit's feed, used by spells in working hours. */
export class Outlet {
  private readonly outlets: readonly (LookAlike & { readonly kind: 'service-outlet' })[];
  private readonly random: RandomStream;
  /** Whether somebody draws from it now. */
  used = false;
  private pluggedIn = false;
  private atMs = 0;

  constructor(lookAlikes: readonly LookAlike[], random: RandomStream) {
    this.random = random;
    this.outlets = lookAlikes.filter((lookAlike) => lookAlike.kind === 'service-outlet');
  }

  step(solarHour: number, atMs: number, stepSeconds: number): void {
    if (this.outlets.length === 0) return;
    this.atMs = atMs;
    if (this.random.uniform() < lagShare(stepSeconds, SPELL_SECONDS)) {
      this.pluggedIn = !this.pluggedIn;
    }
    this.used = this.pluggedIn && solarHour >= WORK_BEGINS_HOUR && solarHour < WORK_ENDS_HOUR;
  }

  draw(feed: Feed, supply: UnitSupply, currents: PhaseCurrents): void {
    if (!this.used) return;
    for (const outlet of this.outlets) {
      const [from, to] = outlet.phases;
      if (!during(outlet, this.atMs) || !feed.live(from)) continue;
      if (to === undefined) currents.addToNeutral(from, outlet.amps);
      else if (feed.live(to)) currents.addBetween(from, to, outlet.amps, 0, supply.volts);
    }
  }
}
