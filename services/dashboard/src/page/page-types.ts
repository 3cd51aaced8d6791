/** What the page behind a link is answered with. */
import type { components } from '../generated/api-types.ts';

type Schemas = components['schemas'];

/** What was answered is replaced, never changed in place. */
type Frozen<T> = T extends object ? { readonly [K in keyof T]: Frozen<T[K]> } : T;

export type Page = Frozen<Schemas['Page']>;
export type PageAlarm = Frozen<Schemas['PageAlarm']>;
export type PageAlarmDetail = Frozen<Schemas['PageAlarmDetail']>;
export type PageChart = Frozen<Schemas['PageChart']>;
export type PageSite = Page['sites'][number];
export type PageJournalLine = PageAlarmDetail['journal'][number];
