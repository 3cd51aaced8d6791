import type { Leg, PlainLookAlike } from '../plan.ts';
import type { FaultPage } from '../truth/fault-book.ts';

const NAMES = ['ia', 'ib', 'ic'] as const;
const HOUR_MS = 3_600_000;

/** Falsifies readings as faulty sensors do, and notes when that shows. */
export class SensorErrors {
  private stuckMilliamps: number | null = null;
  private stickUntilMs = 0;
  private wasWet = false;

  apply(page: FaultPage, atMs: number, out: Record<string, number>, floors: Floors): void {
    const { fault } = page;
    if (!page.isThere(atMs)) return;
    switch (fault.kind) {
      case 'current-sensor-dead':
        this.scale(page, atMs, out, fault.leg, 0, floors);
        break;
      case 'transformer-slipped':
        this.scale(page, atMs, out, fault.leg, fault.share, floors);
        break;
      case 'leak-sensor-fault':
        this.leak(page, atMs, out, floors, fault);
        break;
      case 'sensor-jump': {
        const before = out[fault.channel];
        if (before === undefined) break;
        if (fault.channel === 'leak') out['leak'] = before + fault.by / 1000;
        else if (fault.channel === 'rh') out['rh'] = Math.min(100, Math.max(0, before + fault.by));
        else out['t'] = before + fault.by;
        page.seen(atMs, false);
        break;
      }
      case 'humidity-sticks': {
        const humid = out['rh'] ?? 0;
        if (humid > 97 && !this.wasWet) this.stickUntilMs = atMs + fault.hours * HOUR_MS;
        this.wasWet = humid > 97;
        if (atMs < this.stickUntilMs && humid < 96) {
          out['rh'] = 99;
          page.seen(atMs, false);
        }
        break;
      }
      default:
    }
  }

  private scale(
    page: FaultPage,
    atMs: number,
    out: Record<string, number>,
    leg: Leg,
    share: number,
    floors: Floors,
  ): void {
    const name = NAMES[leg];
    const before = out[name] ?? 0;
    out[name] = Math.round(before * share * 100) / 100;
    if (before * (1 - share) > floors.amps) page.seen(atMs, false);
  }

  private leak(
    page: FaultPage,
    atMs: number,
    out: Record<string, number>,
    floors: Floors,
    fault: { readonly mode: string; readonly milliamps: number; readonly fromMs: number },
  ): void {
    const before = 1000 * (out['leak'] ?? 0);
    let now = before;
    if (fault.mode === 'saturated') now = fault.milliamps;
    else if (fault.mode === 'stuck') {
      this.stuckMilliamps ??= before;
      now = this.stuckMilliamps;
    } else now = before + (fault.milliamps * (atMs - fault.fromMs)) / (14 * 24 * HOUR_MS);
    out['leak'] = Math.round(now * 100) / 100_000;
    if (Math.abs(now - before) > floors.leak) page.seen(atMs, false);
  }
}

/** What must be exceeded to show, A and mA. */
export interface Floors {
  readonly amps: number;
  readonly leak: number;
}

/** The look-alike of this kind that there is at this moment. */
export function standing<Kind extends PlainLookAlike['kind']>(
  all: readonly PlainLookAlike[],
  kind: Kind,
  atMs: number,
): Extract<PlainLookAlike, { kind: Kind }> | undefined {
  for (const one of all) {
    if (one.kind === kind && atMs >= one.fromMs && atMs <= one.toMs) {
      return one as Extract<PlainLookAlike, { kind: Kind }>;
    }
  }
  return undefined;
}
