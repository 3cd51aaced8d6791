import {
  appendFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { ObservedUnit } from '../scoring/observed-unit.ts';
import type { CaseOutcome } from './run-case.ts';

/**
 * Keeps the outcomes of a long run in a file as they come, so that an interrupted run goes on where
 * it was. A file of another run (`key` differs) is thrown away, and so is a line that was cut off.
 */
export class OutcomeStore {
  readonly #file: URL;
  readonly #outcomes = new Map<number, CaseOutcome>();

  constructor(file: URL, key: string) {
    this.#file = file;
    const lines = existsSync(file) ? readFileSync(file, 'utf8').split('\n') : [];
    if (lines[0] !== key) {
      mkdirSync(dirname(fileURLToPath(file)), { recursive: true });
      writeFileSync(file, `${key}\n`);
      return;
    }
    for (const line of lines.slice(1)) this.#read(line);
  }

  get(index: number): CaseOutcome | null {
    return this.#outcomes.get(index) ?? null;
  }

  keep(index: number, outcome: CaseOutcome): void {
    this.#outcomes.set(index, outcome);
    // The line break before it ends a line that an interruption may have cut off.
    appendFileSync(this.#file, `\n${JSON.stringify({ index, outcome })}\n`);
  }

  /** The run is through: its file is of no more use. */
  remove(): void {
    rmSync(this.#file, { force: true });
  }

  #read(line: string): void {
    try {
      const { index, outcome } = JSON.parse(line) as { index: number; outcome: CaseOutcome };
      this.#outcomes.set(index, outcome);
    } catch {
      // Empty, or cut off in the middle of writing: that case runs again.
    }
  }
}

/** Without what no score reads: reasons in words and the evidence of wettings. */
export function slimmed(outcome: CaseOutcome): CaseOutcome {
  const units = Object.entries(outcome.units).map(
    ([name, of]) => [name, of.map((unit) => slimUnit(unit))] as const,
  );
  return { ...outcome, units: Object.fromEntries(units) };
}

function slimUnit(unit: ObservedUnit): ObservedUnit {
  const causes = (of: ObservedUnit['alarms'][number]['causes']): typeof of =>
    of.map((cause) => ({ ...cause, because: [] }));
  return {
    ...unit,
    alarms: unit.alarms.map((alarm) => ({
      ...alarm,
      causes: causes(alarm.causes),
      priorities: alarm.priorities.map((step) => ({ ...step, causes: causes(step.causes) })),
    })),
    episodes: unit.episodes.map((episode) => ({ ...episode, evidence: {} })),
  };
}
