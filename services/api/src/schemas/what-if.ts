import { type AlarmJson, alarmJson, rfc3339 } from '@lineside/alarms';
import { FINDING_KINDS, PRIORITIES } from '@lineside/anomaly';
import { crossedLimits, LIMIT_KEYS, type LimitKey, type StatedLimits } from '@lineside/fleet';
import { z } from 'zod';
import type { WhatIfState } from '../what-if-desk.ts';
import { judgedAlarmSchema } from './alarm.ts';
import { SPAN_FAULT, type Span, spanIsForward, timeMs, timeText } from './time-fields.ts';

/** The alarms of one answer; more are counted and not listed. */
const ALARMS_LISTED = 5_000;

const limit = z.number({ error: 'must be a number above 0' }).positive().finite().optional();
const keys = Object.keys(LIMIT_KEYS) as LimitKey[];

const limitsSchema: z.ZodType<StatedLimits> = z
  .strictObject(Object.fromEntries(keys.map((key) => [key, limit])))
  .superRefine((limits: StatedLimits, context) => {
    const crossed = crossedLimits(limits);
    if (crossed === null) return;
    const [lower, higher] = crossed;
    context.addIssue({
      code: 'custom',
      path: [lower],
      message: `must be no higher than ${higher}`,
    });
  });

export interface WhatIfBody extends Span {
  readonly site?: string | undefined;
  readonly unit?: string | undefined;
  readonly limits: StatedLimits;
}

export const whatIfBody: z.ZodType<WhatIfBody> = z
  .strictObject({
    site: z.string().optional().describe('Only this site.'),
    unit: z.string().optional().describe('Only units of this id; goes with site.'),
    limits: limitsSchema.describe('As in a fleet file; what is not named stays as it is.'),
    from: timeMs.optional().describe('Alarms from then on; absent: from the first reading.'),
    to: timeMs.optional().describe('Alarms before then; absent: until now.'),
  })
  .refine(spanIsForward, SPAN_FAULT)
  .meta({ id: 'WhatIfQuestion' });

type WhatIfCount = NonNullable<WhatIfState['answer']>['counts'][number];

const count: z.ZodType<WhatIfCount> = z.object({
  kind: z.enum(FINDING_KINDS),
  priority: z.enum(PRIORITIES),
  actual: z.number().int().describe('Alarms that there were.'),
  would: z.number().int().describe('Alarms that there would have been.'),
});

export interface WhatIfJson {
  readonly id: string;
  readonly state: WhatIfState['state'];
  readonly started: string;
  readonly limits: StatedLimits;
  readonly units: number;
  readonly unitsDone: number;
  readonly reason: string | null;
  readonly counts: readonly WhatIfCount[] | null;
  readonly alarms: readonly AlarmJson[] | null;
  readonly alarmsLeftOff: number;
}

export const whatIfSchema: z.ZodType<WhatIfJson> = z
  .object({
    id: z.string(),
    state: z.enum(['running', 'done', 'cancelled', 'failed']),
    started: timeText,
    limits: limitsSchema,
    units: z.number().int(),
    unitsDone: z.number().int(),
    reason: z.string().nullable().describe('Why it failed.'),
    counts: z.array(count).nullable().describe('Without silent and clock alarms. Null until done.'),
    alarms: z
      .array(judgedAlarmSchema)
      .nullable()
      .describe('Those that would have been; null until done.'),
    alarmsLeftOff: z.number().int(),
  })
  .meta({ id: 'WhatIf' });

export function whatIfJson(run: WhatIfState): WhatIfJson {
  const { id, state, limits, units, unitsDone, reason, answer } = run;
  const alarms = answer?.alarms ?? null;
  return {
    id,
    state,
    started: rfc3339(run.startedAtMs),
    limits,
    units,
    unitsDone,
    reason,
    counts: answer?.counts ?? null,
    alarms: alarms?.slice(0, ALARMS_LISTED).map(alarmJson) ?? null,
    alarmsLeftOff: Math.max(0, (alarms?.length ?? 0) - ALARMS_LISTED),
  };
}
