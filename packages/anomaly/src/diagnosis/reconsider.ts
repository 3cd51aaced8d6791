import { type FieldGuard, hasShape, isNullOr, isNumber, isOneOf } from '../field-guards.ts';
import {
  CAUSES,
  type Cause,
  type CauseEstimate,
  type FindingChange,
  type RaisedFinding,
} from '../vocabulary.ts';

/** What was last told of a standing finding's leading cause. */
export interface Told {
  /** When it was told, or last looked at again. */
  readonly atMs: number;
  readonly cause: Cause;
  readonly probability: number;
}

/**
 * A standing finding is looked at again at most this often. Evidence of where it leaks comes with
 * starts, stops and nights, not with minutes; and each change is a line in the journal and a
 * message to every subscriber.
 */
const RECONSIDER_EVERY_MS = 3_600_000;
/** A move of the leading cause's probability that is worth telling. */
const NEWS = 0.2;

export const isTold: FieldGuard = isNullOr(
  hasShape<Told>({ atMs: isNumber, cause: isOneOf(CAUSES), probability: isNumber }),
);

/** Whether it is time to look at a standing finding again. */
export function isDue(told: Told | null, atMs: number): told is Told {
  return told !== null && atMs - told.atMs >= RECONSIDER_EVERY_MS;
}

/** What a finding tells of its leading cause. */
export function toldBy(finding: RaisedFinding): Told | null {
  const [first] = finding.causes;
  if (first === undefined) return null;
  return { atMs: finding.atMs, cause: first.cause, probability: first.probability };
}

/** Whether the causes lead otherwise than told: another first, or surer or less sure by 0.2. */
function isNews(told: Told, causes: readonly CauseEstimate[]): boolean {
  const [first] = causes;
  if (first === undefined) return false;
  if (first.cause !== told.cause) return true;
  return Math.abs(first.probability - told.probability) >= NEWS - 1e-9;
}

/** Weighs a finding made anew: told when it is news, else only looked at. */
export function reconsider(told: Told, anew: RaisedFinding): Reconsidered {
  const { kind, atMs, headline, evidence, causes } = anew;
  if (!isNews(told, causes)) return { told: { ...told, atMs }, changes: NOTHING };
  const change: FindingChange = {
    change: 'reconsidered',
    kind,
    atMs,
    headline,
    evidence: { ...evidence, reconsideredAtMs: atMs },
    causes,
  };
  return { told: toldBy(anew), changes: [change] };
}

interface Reconsidered {
  readonly told: Told | null;
  readonly changes: readonly FindingChange[];
}

const NOTHING: readonly FindingChange[] = [];
