import { readFileSync } from 'node:fs';
import { RIVAL_NAMES, type RivalName, type RivalSettings } from '../rivals/rival.ts';
import { SIGNALS } from '../rivals/signals.ts';

/** Where the chosen parameters stand, with how they were obtained; the same from the build. */
export const TUNED_FILE: URL = new URL('../../tuned/rivals.json', import.meta.url);

export type TunedRivals = Readonly<{ [Name in RivalName]: RivalSettings<Name> }>;

const FIELDS: Readonly<Record<RivalName, readonly string[]>> = {
  'fixed-limits': ['routine', 'urgent', 'holdMinutes'],
  'ewma-chart': ['routine', 'urgent', 'holdMinutes', 'weight', 'learningDays'],
  'robust-score': ['routine', 'urgent', 'holdMinutes', 'windowDays'],
};

/**
 * The rivals as they were tuned. @throws Error when the file is not what `tune` writes: with what
 * is missing, and how to write it anew.
 */
export function readTuned(): TunedRivals {
  return parseTuned(readFileSync(TUNED_FILE, 'utf8'));
}

export function parseTuned(text: string): TunedRivals {
  const chosen = field(JSON.parse(text), 'chosen', 'the file');
  for (const rival of RIVAL_NAMES) {
    const signals = field(field(chosen, rival, 'chosen'), 'signals', rival);
    for (const signal of SIGNALS) {
      const point = field(signals, signal, rival);
      for (const name of FIELDS[rival]) {
        const value = field(point, name, `${rival}, ${signal}`);
        if (typeof value !== 'number') throw wrong(`${rival}, ${signal}: ${name} is no number`);
      }
    }
  }
  return chosen as TunedRivals;
}

function field(of: unknown, name: string, where: string): unknown {
  if (typeof of !== 'object' || of === null || !(name in of)) {
    throw wrong(`${where} has no '${name}'`);
  }
  return Reflect.get(of, name);
}

function wrong(what: string): Error {
  return new Error(`tuned/rivals.json: ${what}; write it anew with 'npm run bench -- tune'`);
}
