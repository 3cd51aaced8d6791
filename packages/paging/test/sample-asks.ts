import type { PageAsk, PagedAlarm, PageToHandOver } from '../src/index.ts';

export const MINUTE_MS = 60_000;
export const HOUR_MS: number = 60 * MINUTE_MS;
export const NOW_MS: number = Date.UTC(2026, 0, 10, 4, 12);

export const ANA = { person: 'ana', name: 'Ana Reyes', contacts: ['ana-phone'] };
export const BEN = { person: 'ben', name: 'Ben Okafor', contacts: ['ben-phone'] };
export const OFFICE = { person: null, name: 'Front desk', contacts: ['office-desk'] };

/** An urgent leakage at pier nine, unless said otherwise. */
export function alarm(id: string, fields: Partial<PagedAlarm> = {}): PagedAlarm {
  return {
    id,
    site: 'pier-nine',
    unit: `rtu-${id}`,
    kind: 'leakage',
    priority: 'urgent',
    sinceMs: NOW_MS,
    severity: 0,
    ...fields,
  };
}

/** It asks Ana for a page. */
export function ask(
  id: string,
  fields: Partial<PagedAlarm> = {},
  due: Partial<PageAsk['due']> = {},
): PageAsk {
  return { alarm: alarm(id, fields), due: { form: 'page', to: [ANA], ...due } };
}

export function emergency(id: string): PageAsk {
  return ask(id, { priority: 'emergency' });
}

/** Ids of the alarms of a page, in the order to visit. */
export function idsOf({ stops }: Pick<PageToHandOver, 'stops'>): readonly string[] {
  return stops.flatMap(({ alarms }) => alarms.map(({ id }) => id));
}
