import type { LabelledCase, VerdictWord } from '@lineside/alarms';
import { FINDING_KINDS, type FindingKind } from '@lineside/anomaly';
import { parseEventTime } from '../backtest/event-time.ts';
import { type InputFile, inputBytes } from '../backtest/input-file.ts';
import { LineReader } from '../backtest/line-reader.ts';
import { quote, type RefusalReason, type Refusals } from '../backtest/refusals.ts';
import { CommandFailure, EXIT } from '../failure.ts';

/** Cases of one file: a large company's of decades; all are kept in memory. */
const CASES_MOST = 1_000_000;

const WORDS: readonly VerdictWord[] = ['true', 'false', 'unclear'];

/**
 * Labelled cases of a file, one JSON object a line. Lines that cannot be taken are told to
 * `refusals`.
 *
 * @throws CommandFailure (2) for more cases than are kept.
 */
export async function readCases(
  file: InputFile,
  refusals: Refusals,
): Promise<readonly LabelledCase[]> {
  const source = await inputBytes(file, () => undefined);
  const lines = new LineReader(source);
  const cases: LabelledCase[] = [];
  try {
    while (await lines.fill()) {
      while (lines.next()) {
        const text = lines.bytes.toString('utf8', lines.start, lines.end).trim();
        if (text === '' && !lines.tooLong) continue;
        const read = lines.tooLong ? refused('too-long', undefined) : caseFrom(text);
        if ('reason' in read) refusals.add(read.reason, lines.number, () => quote(read.value));
        else cases.push(read);
        if (cases.length > CASES_MOST) {
          const words = `${file.name}: more than ${CASES_MOST} cases; hand in fewer`;
          throw new CommandFailure(EXIT.badInput, words);
        }
      }
    }
  } finally {
    await source.close();
  }
  return cases;
}

interface Refused {
  readonly reason: RefusalReason;
  readonly value: unknown;
}

function refused(reason: RefusalReason, value: unknown): Refused {
  return { reason, value };
}

function caseFrom(text: string): LabelledCase | Refused {
  const line = objectFrom(text);
  if (line === null) return refused('not-json', text);
  const { site, unit, kind, verdict, cause } = line;
  if (typeof site !== 'string' || typeof unit !== 'string') return refused('wrong-type', text);
  if (!isKind(kind)) return refused('wrong-type', { kind });
  if (!isVerdict(verdict)) return refused('wrong-type', { verdict });
  if (cause != null && typeof cause !== 'string') return refused('wrong-type', { cause });
  const { raised, cleared, time } = line;
  const raisedAtMs = timeFrom(raised);
  if (raisedAtMs === null) return refused('invalid-time', { raised });
  const clearedAtMs = cleared == null ? null : timeFrom(cleared);
  if (cleared != null && clearedAtMs === null) return refused('invalid-time', { cleared });
  const saidAtMs = time == null ? 0 : timeFrom(time);
  if (saidAtMs === null) return refused('invalid-time', { time });
  const said = { verdict, cause: cause ?? null, saidAtMs };
  return { site, unit, kind, raisedAtMs, clearedAtMs, ...said };
}

interface CaseLine {
  readonly [name: string]: unknown;
  readonly site?: unknown;
  readonly unit?: unknown;
  readonly kind?: unknown;
  readonly verdict?: unknown;
  readonly cause?: unknown;
  readonly raised?: unknown;
  readonly cleared?: unknown;
  readonly time?: unknown;
}

function objectFrom(text: string): CaseLine | null {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === 'object' && value !== null && !Array.isArray(value)
      ? { ...value }
      : null;
  } catch {
    return null;
  }
}

function timeFrom(value: unknown): number | null {
  return typeof value === 'string' ? parseEventTime(value) : null;
}

function isKind(value: unknown): value is FindingKind {
  return FINDING_KINDS.some((kind) => kind === value);
}

function isVerdict(value: unknown): value is VerdictWord {
  return WORDS.some((word) => word === value);
}
