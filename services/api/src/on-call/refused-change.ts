import { WrittenFileError } from '@lineside/written-file';
import { type ApiError, badRequest } from '../errors/api-error.ts';

/** `the rota with this change: teams[0].changes[3].by: expected …`. */
const IN_CHANGE = /: teams\[\d+\]\.changes\[\d+\]\.?(\S*): (.*)$/s;
const ELSEWHERE = /^[^:]*: (?:\S+: )?(.*)$/s;

/** 400 that names what is wrong with a change; null when the error says nothing of it. */
export function refusedChange(error: unknown): ApiError | null {
  if (!(error instanceof WrittenFileError)) return null;
  const [, path = '', words] = IN_CHANGE.exec(error.message) ?? [];
  if (words !== undefined) {
    return badRequest(path === '' ? 'change' : `change.${path}`, `is not possible: ${words}`);
  }
  const [, rest = error.message] = ELSEWHERE.exec(error.message) ?? [];
  return badRequest('change', `does not fit the rota: ${rest}`);
}
