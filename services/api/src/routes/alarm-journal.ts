import { rfc3339 } from '@lineside/alarms';
import type { StoredJournalEntry } from '@lineside/storage';
import { z } from 'zod';
import { principalOf } from '../auth/gate.ts';
import type { ApiDependencies } from '../dependencies.ts';
import { badRequest } from '../errors/api-error.ts';
import { alarmParams } from '../schemas/alarm.ts';
import { type AlarmJournalJson, alarmJournalSchema } from '../schemas/alarm-journal.ts';
import { pageFields, pageOf } from '../schemas/page.ts';
import { problems } from '../schemas/problem-answers.ts';
import { type Api, CURSOR_RULE } from './api.ts';
import { findAlarm } from './find-alarm.ts';

export function alarmJournalRoute(app: Api, { records }: ApiDependencies): void {
  app.get(
    '/api/alarms/:id/journal',
    {
      schema: {
        operationId: 'readAlarmJournal',
        summary: 'What happened to an alarm, who did it and why, newest first',
        tags: ['alarms'],
        params: alarmParams,
        querystring: z.object(pageFields),
        response: { 200: pageOf(alarmJournalSchema), ...problems(400, 401, 404) },
      },
    },
    async (request) => {
      const { id } = await findAlarm(records, principalOf(request), request.params.id);
      const { limit, cursor } = request.query;
      const before = cursor === undefined ? Number.POSITIVE_INFINITY : sequenceOf(cursor);
      const rest = (await records.journalOf(id))
        .filter(({ sequence }) => sequence < before)
        .sort((one, other) => other.sequence - one.sequence);
      const page = rest.slice(0, limit);
      const last = rest.length > limit ? page.at(-1) : undefined;
      return { items: page.map(lineOf), next: last === undefined ? null : `${last.sequence}` };
    },
  );
}

function sequenceOf(cursor: string): number {
  if (!/^\d{1,15}$/.test(cursor)) throw badRequest('cursor', CURSOR_RULE);
  return Number(cursor);
}

function lineOf(entry: StoredJournalEntry): AlarmJournalJson {
  const { sequence, atMs, event, from, to, by, note, alarm } = entry;
  const { priority, standing } = alarm;
  return { sequence, time: rfc3339(atMs), event, from, to, by, note, priority, standing };
}
