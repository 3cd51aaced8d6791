import { CALLS, type Call } from '@lineside/oncall';
import { z } from 'zod';
import { SPAN_FAULT, type Span, spanIsForward, timeMs, timeText } from './time-fields.ts';

export interface PersonJson {
  readonly id: string;
  readonly name: string;
}

export const personSchema: z.ZodType<PersonJson> = z
  .object({ id: z.string().describe('Also the user name of who signs in.'), name: z.string() })
  .meta({ id: 'OnCallPerson' });

export interface ShiftJson {
  readonly id: string;
  readonly team: string;
  readonly call: Call;
  readonly kind: 'rotation' | 'holiday';
  readonly from: string;
  readonly to: string;
  readonly person: PersonJson | null;
  readonly gap: string | null;
  readonly planned: PersonJson | null;
  readonly changes: readonly string[];
}

export const shiftSchema: z.ZodType<ShiftJson> = z
  .object({
    id: z.string().describe('Stays when somebody covers or swaps.'),
    team: z.string(),
    call: z.enum(CALLS).describe('first is asked first, second when first does not answer.'),
    kind: z.enum(['rotation', 'holiday']),
    from: timeText,
    to: timeText.describe('Half open: over at this instant.'),
    person: personSchema.nullable().describe('null: nobody is on call, see gap.'),
    gap: z.string().nullable().describe('Why nobody is on call.'),
    planned: personSchema.nullable().describe('Whose it was before covers and swaps.'),
    changes: z.array(z.string()).describe('Ids of the covers and swaps that altered it.'),
  })
  .meta({ id: 'Shift' });

/** A call of a team: who has it, and who has it after. */
export interface CallJson {
  readonly now: ShiftJson;
  readonly next: ShiftJson | null;
}

const callSchema: z.ZodType<CallJson> = z
  .object({ now: shiftSchema, next: shiftSchema.nullable() })
  .meta({ id: 'OnCallOfCall' });

export interface TeamOnCallJson {
  readonly id: string;
  readonly name: string;
  readonly zone: string;
  readonly sites: readonly string[];
  readonly takesOtherSites: boolean;
  readonly first: CallJson;
  readonly second: CallJson | null;
}

export interface OnCallQuery {
  readonly at?: number | undefined;
}

export const onCallQuery: z.ZodType<OnCallQuery> = z.object({
  at: timeMs.optional().describe('The instant that is asked about. Default: now.'),
});

export interface OnCallJson {
  readonly at: string;
  readonly teams: readonly TeamOnCallJson[];
  readonly office: string | null;
}

export const onCallSchema: z.ZodType<OnCallJson> = z
  .object({
    at: timeText.describe('The instant that `now` means.'),
    teams: z.array(
      z.object({
        id: z.string(),
        name: z.string(),
        zone: z.string().describe('IANA time zone of the team.'),
        sites: z.array(z.string()).describe('Those that the team names and the caller may read.'),
        takesOtherSites: z.boolean().describe('Covers all sites that no team names.'),
        first: callSchema,
        second: callSchema.nullable().describe('null for a team without a second call.'),
      }),
    ),
    office: z
      .string()
      .nullable()
      .describe('Name of who is asked when nobody else is left; null while there is no rota.'),
  })
  .meta({ id: 'OnCall' });

export interface ShiftsQuery extends Span {
  readonly team?: string | undefined;
}

export const shiftsQuery: z.ZodType<ShiftsQuery> = z
  .object({
    from: timeMs.optional().describe('Default: now.'),
    to: timeMs.optional().describe('Default: six weeks after from; at most 400 days after it.'),
    team: z.string().optional().describe('Only this team.'),
  })
  .refine(spanIsForward, SPAN_FAULT);

export interface ShiftsJson {
  readonly items: readonly ShiftJson[];
}

export const shiftsSchema: z.ZodType<ShiftsJson> = z
  .object({ items: z.array(shiftSchema).describe('By team, then call, then time.') })
  .meta({ id: 'Shifts' });
