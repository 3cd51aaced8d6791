import { kindWords } from './vocabulary.ts';

/** As the journal writes it: `while supply-loss stands (its id): why`. */
const SUPPRESSED = /^while (\S+) stands \(\S+\): (.*)$/;

/** Why an alarm is suppressed, from the note of its journal; another note as it stands. */
export function setAsideWords(note: string): string {
  const [, kind, because] = SUPPRESSED.exec(note) ?? [];
  if (kind === undefined) return note;
  const why = because === undefined || because === '' ? '' : `: ${because}`;
  return `It asks nobody while the ${kindWords(kind)} alarm of this unit stands${why}.`;
}
