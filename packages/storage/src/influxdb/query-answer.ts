import { answerFailure } from './influx-failure.ts';

/** Rows of one series of an answer: a unit's, where the question was grouped by tags. */
export interface AnswerSeries {
  readonly tags: Readonly<Record<string, string>>;
  readonly columns: readonly string[];
  readonly values: readonly (readonly unknown[])[];
}

/**
 * The series of each statement of an answer of `/query`, in the order of the statements.
 *
 * @throws StoreError when the server reports an error, cut the answer short, or answers otherwise
 *   than InfluxDB does.
 */
export function seriesOfAnswer(
  answer: unknown,
  statements: number,
  where: string,
): readonly (readonly AnswerSeries[])[] {
  if (!isObject(answer)) throw answerFailure('the answer is no JSON object', where);
  refuseError(answer, where);
  const results: unknown = answer['results'];
  if (!Array.isArray(results)) throw answerFailure('the answer has no results', where);
  const found: AnswerSeries[][] = Array.from({ length: statements }, () => []);
  for (const [place, result] of results.entries()) {
    if (!isObject(result)) throw answerFailure('a result is no object', where);
    refuseError(result, where);
    const of = result['statement_id'] ?? place;
    const list: unknown = result['series'] ?? [];
    const target = typeof of === 'number' ? found[of] : undefined;
    if (!Array.isArray(list) || target === undefined) {
      throw answerFailure('a result belongs to no statement', where);
    }
    for (const one of list) target.push(seriesFrom(one, where));
  }
  return found;
}

function seriesFrom(one: unknown, where: string): AnswerSeries {
  if (!isObject(one) || !Array.isArray(one['columns'])) {
    throw answerFailure('a series has no columns', where);
  }
  if (one['partial'] === true) {
    throw answerFailure('the answer was cut short; raise max-row-limit of the server', where);
  }
  const tags = isObject(one['tags']) ? one['tags'] : {};
  const values: unknown = one['values'] ?? [];
  if (!Array.isArray(values)) throw answerFailure('a series has no values', where);
  return {
    tags: Object.fromEntries(Object.entries(tags).map(([name, tag]) => [name, String(tag)])),
    columns: one['columns'].map(String),
    values,
  };
}

function refuseError(part: Readonly<Record<string, unknown>>, where: string): void {
  const error = part['error'];
  if (error !== undefined) throw answerFailure(String(error), where);
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** Places of the named columns; -1 for one that the server left out. */
export function columnPlaces(series: AnswerSeries, names: readonly string[]): readonly number[] {
  return names.map((name) => series.columns.indexOf(name));
}

/** A number of a row; null where there is none. */
export function numberAt(row: readonly unknown[], place: number): number | null {
  const value = place < 0 ? null : row[place];
  return typeof value === 'number' ? value : null;
}
