import { type ActionOutcome, type Alarm, type AlarmAction, actOnAlarm } from '@lineside/alarms';
import { StoreError } from '@lineside/storage';
import type { Principal } from '../auth/principal.ts';
import type { ApiDependencies, ApiRecords } from '../dependencies.ts';
import { ApiError, badRequest } from '../errors/api-error.ts';
import { findAlarm } from './find-alarm.ts';

/** Tries when a watch or another person changes the alarm in between; each reads it anew. */
const MOST_TRIES = 5;

/**
 * Does something to an alarm for someone and returns it as it is then. Rejects with 404, with 400
 * for a shelf or a note that cannot be, with 409 when its state does not allow it, and with `StoreError`.
 */
export type ActOn = (id: string, action: AlarmAction, principal: Principal) => Promise<Alarm>;

export function alarmActor({ records, live, clock }: ApiDependencies): ActOn {
  const tryOnce: ActOn = async (id, action, principal) => {
    const before = await findAlarm(records, principal, id);
    const outcome = actOnAlarm(before, action, { atMs: clock(), by: principal.name });
    if (!outcome.ok) {
      if (await endedByAcknowledging(before, action, records)) return before;
      throw refusalOf(outcome);
    }
    if (outcome.entry !== null) {
      await records.changeAlarms([{ entry: outcome.entry }]);
      live.journalGrew();
    }
    return outcome.alarm;
  };
  return async (id, action, principal) => {
    for (let tries = 1; ; tries += 1) {
      try {
        return await tryOnce(id, action, principal);
      } catch (error) {
        const isConflict = error instanceof StoreError && error.code === 'STORE_CONFLICT';
        if (!isConflict || tries === MOST_TRIES) throw error;
      }
    }
  };
}

/**
 * True when an acknowledgement was what made the alarm normal: then to acknowledge it again, from a
 * second device or after an answer that got lost, is no error.
 */
async function endedByAcknowledging(
  { id, state, withdrawn }: Alarm,
  { type }: AlarmAction,
  records: Pick<ApiRecords, 'journalOf'>,
): Promise<boolean> {
  if (type !== 'acknowledge' || state !== 'normal' || withdrawn) return false;
  const newest = (await records.journalOf(id)).at(-1);
  return newest?.event === 'acknowledge';
}

function refusalOf({ code, reason }: Extract<ActionOutcome, { ok: false }>): ApiError {
  if (code === 'ALARM_WRONG_STATE') return new ApiError('API_CONFLICT', `${capital(reason)}.`);
  const [path = '', ...words] = reason.split(' ');
  return badRequest(path, words.join(' '));
}

function capital(sentence: string): string {
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}
