import type { AlarmAction } from '@lineside/alarms';
import type { PageLink } from '@lineside/storage';
import type { Principal } from '../auth/principal.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { ApiError } from '../errors/api-error.ts';
import type { RotaDesk } from '../on-call/rota-desk.ts';
import { type ActOn, alarmActor } from '../routes/alarm-actor.ts';
import type { PageRefusal } from '../schemas/page-link.ts';

/** What a button does, to one alarm of the page or to all. */
interface Press {
  readonly action: AlarmAction;
  /** Null: all alarms of the page. */
  readonly alarmId: string | null;
}

/** Presses a button of a page; returns the alarms of `all` that refused. Rejects as `ActOn`. */
export type AnswerPage = (link: PageLink, press: Press) => Promise<readonly PageRefusal[]>;

export function pageAnswerer(dependencies: ApiDependencies, desk: RotaDesk): AnswerPage {
  const actOn = actOnce(dependencies, alarmActor(dependencies));
  return async (link, { action, alarmId }) => {
    const principal = await whoAnswers(link, desk);
    if (alarmId !== null) {
      if (!link.alarmIds.includes(alarmId)) {
        throw new ApiError('API_NOT_FOUND', 'This alarm is not on this page.');
      }
      await actOn(alarmId, action, principal);
      return [];
    }
    const refused: PageRefusal[] = [];
    for (const id of link.alarmIds) {
      const reason = await reasonAgainst(() => actOn(id, action, principal));
      if (reason !== null) refused.push({ alarmId: id, reason });
    }
    return refused;
  };
}

/** Null when it was done. Anything but a state that does not allow it ends the whole press. */
async function reasonAgainst(act: () => Promise<void>): Promise<string | null> {
  try {
    await act();
    return null;
  } catch (error) {
    const isRefusal =
      error instanceof ApiError &&
      (error.code === 'API_CONFLICT' || error.code === 'API_NOT_FOUND');
    if (!isRefusal) throw error;
    return error.detail;
  }
}

/** Whoever waits longer for an answer that never arrived means the press anew. */
const SAME_PRESS_WITHIN_MS = 2 * 60_000;

/**
 * A button may be pressed again after an answer that never arrived. States make most actions
 * harmless then; notes and handing on would be journalled twice, so the journal is asked first.
 * But an alarm that was handed on may come back to the same person, who then hands it on again.
 */
function actOnce(
  { records, clock }: ApiDependencies,
  actOn: ActOn,
): (id: string, action: AlarmAction, principal: Principal) => Promise<void> {
  return async (id, action, principal) => {
    const note = 'note' in action ? (action.note ?? null) : null;
    if (action.type === 'hand-on' || note !== null) {
      const last = (await records.journalOf(id)).at(-1);
      const isSame = last?.event === action.type && last.note === note;
      const isFresh = last !== undefined && clock() - last.atMs < SAME_PRESS_WITHIN_MS;
      if (isSame && isFresh && last.by === principal.name) return;
    }
    await actOn(id, action, principal);
  };
}

/** Whom the page was for, as the journal names whoever answers from it. */
async function whoAnswers(link: PageLink, desk: RotaDesk): Promise<Principal> {
  const name = await personOfPage(link, desk);
  return {
    role: 'technician',
    sites: null,
    name: `${name} (page)`,
    key: `page:${link.id}`,
    session: null,
  };
}

/**
 * The name of the person that a page is for; the office's for a page to the office. A rota that
 * cannot be read must not close the page at night: then the person goes by its id.
 */
export async function personOfPage({ person }: PageLink, desk: RotaDesk): Promise<string> {
  const rota = await desk.read().then(
    (kept) => kept?.rota,
    () => undefined,
  );
  if (person === null) return rota?.office.name ?? 'Office';
  return rota?.people.find(({ id }) => id === person)?.name ?? person;
}
