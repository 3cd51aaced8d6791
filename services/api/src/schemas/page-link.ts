import {
  ALARM_EVENTS,
  ALARM_NOTE_MOST_CHARACTERS,
  ALARM_STATES,
  type AlarmEvent,
  type AlarmState,
} from '@lineside/alarms';
import {
  CAUSES,
  type CauseEstimate,
  FINDING_KINDS,
  type FindingKind,
  PRIORITIES,
  type Priority,
} from '@lineside/anomaly';
import { z } from 'zod';
import { ROOF_DANGERS, type RoofDanger } from '../dependencies.ts';
import { type ShelveBody, shelveReason } from './alarm.ts';
import { timeMs, timeText } from './time-fields.ts';

/** Whose buttons they are: the first device that presses one has them. */
const PAGE_BUTTONS = ['free', 'this-device', 'another-device'] as const;

export interface PageSite {
  readonly site: string;
  readonly name: string;
  readonly timezone: string;
  readonly roofDanger: RoofDanger | null;
  /** Alarms of the page there that are not over. */
  readonly standing: number;
}

/** One line of the page. */
export interface PageAlarm {
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly unitName: string;
  readonly kind: FindingKind;
  readonly priority: Priority;
  readonly state: AlarmState;
  readonly standing: boolean;
  readonly withdrawn: boolean;
  readonly headline: string;
  readonly since: string;
  readonly cleared: string | null;
  readonly acknowledged: string | null;
  readonly acknowledgedBy: string | null;
  readonly shelvedUntil: string | null;
  readonly shelvedBy: string | null;
  readonly shelveReason: string | null;
}

export interface PageJournalLine {
  readonly time: string;
  readonly event: AlarmEvent;
  readonly by: string;
  readonly note: string | null;
}

/** What somebody who goes there reads. */
export interface PageAlarmDetail {
  readonly id: string;
  readonly causes: readonly CauseEstimate[];
  readonly checks: readonly string[];
  readonly bring: readonly string[];
  readonly cautions: readonly string[];
  readonly access: string | null;
  readonly fuses: { readonly class: string | null; readonly amps: number | null };
  readonly volts: number | null;
  readonly journal: readonly PageJournalLine[];
}

export interface PageRefusal {
  readonly alarmId: string;
  readonly reason: string;
}

export interface PageJson {
  readonly for: string;
  readonly time: string;
  readonly expires: string;
  readonly buttons: (typeof PAGE_BUTTONS)[number];
  readonly sites: readonly PageSite[];
  readonly alarms: readonly PageAlarm[];
  readonly more: number;
  readonly details: readonly PageAlarmDetail[];
  readonly refused: readonly PageRefusal[];
}

const text = z.string();
const orNone = text.nullable();

const site: z.ZodType<PageSite> = z.object({
  site: text,
  name: text,
  timezone: text.describe('IANA time zone.'),
  roofDanger: z
    .enum(ROOF_DANGERS)
    .nullable()
    .describe('What keeps people off the roofs now; null is no promise that nothing does.'),
  standing: z.number().int().describe('Alarms of the page there that are not over.'),
});

const alarm: z.ZodType<PageAlarm> = z
  .object({
    id: text,
    site: text,
    unit: text,
    unitName: text,
    kind: z.enum(FINDING_KINDS),
    priority: z.enum(PRIORITIES),
    state: z.enum(ALARM_STATES),
    standing: z.boolean(),
    withdrawn: z.boolean(),
    headline: text,
    since: timeText,
    cleared: timeText.nullable(),
    acknowledged: timeText.nullable(),
    acknowledgedBy: orNone,
    shelvedUntil: timeText.nullable(),
    shelvedBy: orNone,
    shelveReason: orNone,
  })
  .meta({ id: 'PageAlarm' });

const cause: z.ZodType<CauseEstimate> = z.object({
  cause: z.enum(CAUSES),
  probability: z.number(),
  because: z.array(text),
});

const journalLine: z.ZodType<PageJournalLine> = z.object({
  time: timeText,
  event: z.enum(ALARM_EVENTS),
  by: text,
  note: orNone,
});

export const pageAlarmDetailSchema: z.ZodType<PageAlarmDetail> = z
  .object({
    id: text,
    causes: z.array(cause).describe('Most probable first.'),
    checks: z.array(text).describe('What settles the cause, what settles most first.'),
    bring: z.array(text),
    cautions: z.array(text),
    access: orNone.describe('How to get there.'),
    fuses: z.object({ class: orNone, amps: z.number().nullable() }).describe('By the nameplate.'),
    volts: z.number().nullable().describe('Line to line, by the nameplate.'),
    journal: z.array(journalLine).describe('What happened and who did what, newest first.'),
  })
  .meta({ id: 'PageAlarmDetail' });

export const pageSchema: z.ZodType<PageJson> = z
  .object({
    for: text.describe('Whom the page is for.'),
    time: timeText.describe('When this was answered.'),
    expires: timeText,
    buttons: z.enum(PAGE_BUTTONS).describe('Whose the buttons are.'),
    sites: z.array(site).describe('In the order to visit.'),
    alarms: z.array(alarm).describe('The worst first.'),
    more: z.number().int().describe('Alarms beyond those that are listed.'),
    details: z.array(pageAlarmDetailSchema).describe('Of the worst three.'),
    refused: z
      .array(z.object({ alarmId: text, reason: text }))
      .describe('After a button for all: alarms whose state does not allow it, and why.'),
  })
  .meta({ id: 'Page' });

interface PageChartLine {
  readonly channel: string;
  readonly unit: string | null;
  /** `[epoch ms, lowest, mean, highest]` */
  readonly points: readonly (readonly number[])[];
}

export interface PageChartJson {
  readonly from: string;
  readonly to: string;
  readonly lines: readonly PageChartLine[];
  readonly limits: readonly { readonly channel: string; readonly value: number }[];
}

export const pageChartSchema: z.ZodType<PageChartJson> = z
  .object({
    from: timeText,
    to: timeText,
    lines: z.array(
      z.object({
        channel: text,
        unit: orNone.describe('SenML unit.'),
        points: z
          .array(z.array(z.number()))
          .describe('Epoch ms, lowest, mean, highest; to three digits.'),
      }),
    ),
    limits: z
      .array(z.object({ channel: text, value: z.number() }))
      .describe('Urgent limits of the unit, in the unit of the channel.'),
  })
  .meta({ id: 'PageChart' });

/** Longer than any address of a page. */
const LINK_MOST_CHARACTERS = 200;
const linkField = text.max(LINK_MOST_CHARACTERS).describe('The last part of the address.');

export interface PageParams {
  readonly link: string;
}
export const pageParams: z.ZodType<PageParams> = z.object({ link: linkField });

export interface PageAlarmParams extends PageParams {
  readonly alarm: string;
}
export const pageAlarmParams: z.ZodType<PageAlarmParams> = z.object({
  link: linkField,
  alarm: text,
});

const ALARM_RULE = 'must be the id of an alarm of the page, or "all"';

export interface PressBody {
  readonly alarm: string;
}

/** Ids of alarms are never so short. */
export const ALL_ALARMS = 'all';

const alarmField = z
  .string({ error: ALARM_RULE })
  .min(1, { error: ALARM_RULE })
  .max(64, { error: ALARM_RULE })
  .describe('Id of an alarm of the page, or `all`.');

export const pressBody: z.ZodType<PressBody> = z
  .object({ alarm: alarmField })
  .meta({ id: 'PagePress' });

export interface PressWithNote extends PressBody {
  readonly note?: string | undefined;
}

const NOTE_RULE = `must be at most ${ALARM_NOTE_MOST_CHARACTERS} characters`;

export const pressWithNote: z.ZodType<PressWithNote> = z
  .object({
    alarm: alarmField,
    note: z
      .string({ error: NOTE_RULE })
      .trim()
      .max(ALARM_NOTE_MOST_CHARACTERS, { error: NOTE_RULE })
      .optional(),
  })
  .meta({ id: 'PagePressWithNote' });

export const pageShelveBody: z.ZodType<ShelveBody & PressBody> = z
  .object({
    alarm: alarmField,
    until: timeMs.describe('When it comes off the shelf by itself.'),
    reason: shelveReason,
  })
  .meta({ id: 'PageShelving' });
