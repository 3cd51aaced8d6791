import { type Contactor, GROUNDINGS, type Limits, type Supply } from '@lineside/fleet';
import { z } from 'zod';
import type { AlarmAnswer } from '../answers/alarm-answer.ts';
import { alarmSchema } from './alarm.ts';
import { type ConditionJson, condition } from './condition.ts';
import { type HoldJson, holdSchema } from './hold.ts';
import { type PageQuery, pageFields } from './page.ts';
import { timeText } from './time-fields.ts';

export interface LastReadingJson {
  readonly time: string;
  readonly channels: Readonly<Record<string, number>>;
}

export interface NameplateJson {
  readonly supply: Supply;
  readonly fuses: { readonly class: string | null; readonly amps: number | null };
  readonly contactors: readonly Contactor[];
  readonly drive: boolean;
  readonly access: string | null;
  readonly roof: { readonly x: number; readonly y: number } | null;
  readonly nodeSupply: 'battery' | 'unit-24v' | null;
  readonly limits: Limits;
}

export interface UnitJson {
  readonly site: string;
  readonly siteName: string;
  readonly timezone: string;
  readonly unit: string;
  readonly name: string;
  readonly presence: 'online' | 'offline' | null;
  readonly lastReading: LastReadingJson | null;
  readonly condition: ConditionJson | null;
  readonly alarms: readonly AlarmAnswer[];
  readonly hold: HoldJson | null;
  readonly nameplate: NameplateJson;
  readonly retired: boolean;
}

const contactor = z.object({
  name: z.string(),
  load: z.string().nullable(),
  poles: z.number().nullable(),
  flaAmps: z.number().nullable(),
});

const limits = z.object({
  leakageRoutineMilliamps: z.number(),
  leakageUrgentMilliamps: z.number(),
  leakageEmergencyMilliamps: z.number(),
  currentUnbalanceRoutinePercent: z.number(),
  currentUnbalanceUrgentPercent: z.number(),
  voltageUnbalanceRoutinePercent: z.number(),
  voltageUnbalanceUrgentPercent: z.number(),
  voltageUnbalanceEmergencyPercent: z.number(),
  silentRoutineMinutes: z.number(),
  silentUrgentMinutes: z.number(),
} satisfies Record<keyof Limits, z.ZodType>);

const nameplate = z
  .object({
    supply: z.object({
      volts: z.number(),
      hertz: z.number(),
      grounding: z.enum(GROUNDINGS),
      groundingAssumed: z.boolean(),
      mcaAmps: z.number().nullable(),
      mopAmps: z.number().nullable(),
    }),
    fuses: z.object({ class: z.string().nullable(), amps: z.number().nullable() }),
    contactors: z.array(contactor),
    drive: z.boolean(),
    access: z.string().nullable(),
    roof: z.object({ x: z.number(), y: z.number() }).nullable(),
    nodeSupply: z.enum(['battery', 'unit-24v']).nullable(),
    limits,
  })
  .meta({ id: 'Nameplate' });

/** A unit in the list and on its own. */
export const unitSchema: z.ZodType<UnitJson> = z
  .object({
    site: z.string(),
    siteName: z.string(),
    timezone: z.string().describe('IANA time zone of the site.'),
    unit: z.string(),
    name: z.string(),
    presence: z.enum(['online', 'offline']).nullable().describe('null: never heard of its node.'),
    lastReading: z
      .object({ time: timeText, channels: z.record(z.string(), z.number()) })
      .nullable()
      .describe('Values in the units of the channel table (leak in A), door 0 or 1.'),
    condition: condition.nullable(),
    alarms: z.array(alarmSchema).describe('Standing alarms, newest first.'),
    hold: holdSchema.nullable().describe('Maintenance or out of service, in force now.'),
    nameplate,
    retired: z.boolean().describe('True when the newest fleet file no longer names the unit.'),
  })
  .meta({ id: 'Unit' });

export interface UnitListQuery extends PageQuery {
  readonly retired: boolean;
}

export const unitListQuery: z.ZodType<UnitListQuery> = z.object({
  retired: z
    .enum(['true', 'false'], { error: 'must be true or false' })
    .transform((text) => text === 'true')
    .default(false)
    .describe('true lists retired units too.'),
  ...pageFields,
});
