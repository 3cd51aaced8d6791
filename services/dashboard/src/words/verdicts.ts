import type { Verdict, VerdictEntry } from '../api/types.ts';
import { causeWords } from './vocabulary.ts';

type FoundCause = NonNullable<VerdictEntry['cause']>;

const VERDICTS: Readonly<Record<Verdict['verdict'], string>> = {
  true: 'True',
  false: 'False',
  unclear: 'Unclear',
};

/** What can be said of an alarm, with what it means. */
export const VERDICT_CHOICES: readonly {
  readonly value: Verdict['verdict'];
  readonly words: string;
}[] = [
  { value: 'true', words: 'True: what it said was there' },
  { value: 'false', words: 'False: it was not there' },
  { value: 'unclear', words: 'Unclear: nobody could say' },
];

/** Causes that somebody can find there, in the order of the trade: water, supply, parts, sensor. */
const FOUND_CAUSES: readonly FoundCause[] = [
  'water-ingress',
  'condensation',
  'humid-weather',
  'line-side-track-to-ground',
  'pole-to-pole-track',
  'load-insulation',
  'worn-pole-or-connection',
  'open-fuse',
  'disconnect-open-or-fuses-open',
  'supply-voltage',
  'utility-outage',
  'node-offline',
  'sensor-fault',
];

export const NOT_KNOWN = '';

export const CAUSE_CHOICES: readonly { readonly value: string; readonly words: string }[] = [
  { value: NOT_KNOWN, words: 'Not known' },
  ...FOUND_CAUSES.map((cause) => ({ value: cause, words: causeWords(cause) })),
];

/** The cause of a choice; null for what is none of them. */
export function foundCause(value: string): FoundCause | null {
  return FOUND_CAUSES.find((cause) => cause === value) ?? null;
}

const verdictWords = (verdict: Verdict['verdict']): string => VERDICTS[verdict];

/** `True: wet gasket. Cause as found: water getting into the compartment.` */
export function findingWords({ verdict, found, cause }: Verdict): string {
  const said = found === '' ? verdictWords(verdict) : `${verdictWords(verdict)}: ${found}`;
  const sentence = /[.!?]$/.test(said) ? said : `${said}.`;
  if (cause === null) return sentence;
  return `${sentence} Cause as found: ${causeWords(cause).toLowerCase()}.`;
}
