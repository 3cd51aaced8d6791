import type { Alarm } from '@lineside/alarms';
import {
  type FindingChange,
  type FindingKind,
  newSilenceState,
  PRIORITIES,
  type SilenceState,
  stepSilence,
} from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';
import { enterFinding, type ServiceEvent } from '@lineside/judging';
import type { ChannelValues, Reading } from '@lineside/readings';
import type { Judge, Judged } from '../running/judge.ts';
import { type Features, featuresOf } from './features.ts';
import { Ladder, type LadderChange } from './ladder.ts';
import type { LevelRule } from './level-rule.ts';
import { LossRule } from './losses.ts';
import { type RivalSettings, ruleOf } from './rival.ts';
import { rivalCauses } from './rival-causes.ts';
import { EVIDENCE_NAMES, type LoadState, SIGNALS, type Signal, signalValue } from './signals.ts';
import { WetSpells } from './wet-spells.ts';

interface Watched {
  readonly signal: Signal;
  readonly rule: LevelRule;
  readonly ladder: Ladder;
}

/** The trade's ten minutes; every rival and the house use it. */
const DEAD_HOLD_MINUTES = 10;

/**
 * One rival watching one unit: its own rule a signal, the losses and wet spells that all rivals
 * share, and the house's ledger and silence, so that alarms are made and scored alike.
 */
export class RivalJudge implements Judge {
  readonly #unit: Unit;
  readonly #watched: readonly Watched[];
  readonly #losses = new LossRule(DEAD_HOLD_MINUTES);
  readonly #spells = new WetSpells();
  readonly #ledger = new Map<FindingKind, Alarm>();
  readonly #alarms: Alarm[] = [];
  #silence: SilenceState = newSilenceState();

  constructor(unit: Unit, settings: RivalSettings) {
    this.#unit = unit;
    this.#watched = SIGNALS.map((signal) => ({
      signal,
      rule: ruleOf(settings, signal, unit),
      ladder: new Ladder(settings.signals[signal].holdMinutes),
    }));
  }

  weather(): void {
    // A reading brings the report that counts for it.
  }

  reading(atMs: number, channels: ChannelValues, report: Reading | null): void {
    this.#hear('receipt', atMs);
    const features = featuresOf(atMs, channels, report);
    this.#spells.step(features);
    for (const watched of this.#watched) this.#judge(watched, features);
    for (const change of this.#losses.step(features)) this.#enter(change);
  }

  service({ action }: ServiceEvent): void {
    this.#losses.service(action);
  }

  end(lastMs: number): Judged {
    this.#hear('tick', lastMs);
    const alarms = [...this.#alarms, ...this.#ledger.values()];
    return { alarms, episodes: this.#spells.end() };
  }

  #judge({ signal, rule, ladder }: Watched, features: Features): void {
    const value = signalValue(signal, features);
    // Without currents it is not known whether a load runs; water knows no loads.
    if (value === null || (features.running === null && signal !== 'moisture')) return;
    const state: LoadState =
      signal !== 'moisture' && features.running === true ? 'running' : 'idle';
    const change = ladder.step(features.atMs, state, rule.level(features.atMs, state, value));
    if (change !== null) this.#enter(finding(signal, change, features.atMs, value, ladder));
  }

  #hear(type: 'receipt' | 'tick', atMs: number): void {
    const { limits, nodeSupply } = this.#unit;
    const step = stepSilence(this.#silence, { type, atMs }, limits, nodeSupply);
    this.#silence = step.state;
    for (const change of step.changes) this.#enter(change);
  }

  #enter(change: FindingChange): void {
    const place = { site: this.#unit.site, unit: this.#unit.id };
    enterFinding(this.#ledger, change, place, (alarm) => this.#alarms.push(alarm));
  }
}

function finding(
  signal: Signal,
  change: LadderChange,
  atMs: number,
  value: number,
  ladder: Ladder,
): FindingChange {
  if (change.change === 'closed') return { change: 'closed', kind: signal, atMs };
  return {
    change: change.change,
    kind: signal,
    priority: PRIORITIES[change.level],
    atMs,
    headline: `${signal} out of control while ${change.state}`,
    evidence: { [EVIDENCE_NAMES[signal]]: value },
    causes: rivalCauses(signal, !ladder.inControl('idle'), !ladder.inControl('running')),
  };
}
