import { CALLS, type Cover, type Swap, type SwapSide } from '@lineside/oncall';
import { z } from 'zod';
import { type ShiftJson, shiftSchema } from './on-call.ts';

/** Bounds only; what a change may say is checked with the rota, like one in a file. */
const TEXT_MOST_CHARACTERS = 64;

const words = (what: string): z.ZodType<string> =>
  z.string({ error: `must be ${what}` }).max(TEXT_MOST_CHARACTERS, { error: `must be ${what}` });

const person = words('the id of somebody of the team');
const dateTime = words("a date and time of the team's zone such as 2026-01-05T08:00");
const call = z.enum(CALLS, { error: `must be ${CALLS.join(' or ')}` });

export type AskedChange = AskedCover | AskedSwap;
type AskedCover = Omit<Cover, 'id' | 'calledOff'>;
type AskedSwap = Omit<Swap, 'id' | 'calledOff'>;

const side: z.ZodType<SwapSide> = z.object({
  person: person.describe('Who gives the shift away.'),
  shift: words('the date on which the shift begins').describe('Date on which it begins.'),
});

const cover = z.object({
  kind: z.literal('cover'),
  call: call.nullable().default(null).describe('null: whichever call the person has.'),
  for: person.describe('Who is on call by the rota.'),
  by: person.describe('Who takes it.'),
  from: dateTime.describe("By the clock of the team's zone."),
  to: dateTime,
});

const swap = z.object({
  kind: z.literal('swap'),
  call: call.default('first'),
  one: side,
  other: side,
});

export interface ChangeBody {
  readonly change: AskedChange;
  readonly generation?: number | undefined;
  readonly tryOnly: boolean;
}

const generation = z
  .int({ error: 'must be a generation that the API answered' })
  .optional()
  .describe('The rota that the caller looked at; 409 when it is another one by now.');

export const changeBody: z.ZodType<ChangeBody> = z
  .object({
    change: z.discriminatedUnion('kind', [cover, swap], { error: 'must be a cover or a swap' }),
    generation,
    tryOnly: z
      .boolean({ error: 'must be true or false' })
      .default(false)
      .describe('true: only checks, and answers what would come of it.'),
  })
  .meta({ id: 'RotaChange' });

export interface CallOffBody {
  readonly generation?: number | undefined;
}

export const callOffBody: z.ZodType<CallOffBody | null | undefined> = z
  .object({ generation })
  .nullish()
  .meta({ id: 'RotaChangeCallOff' });

export interface TeamParams {
  readonly team: string;
}

export const teamParams: z.ZodType<TeamParams> = z.object({
  team: z.string().describe('Team id of the rota.'),
});

export interface ChangeParams extends TeamParams {
  readonly id: string;
}

export const changeParams: z.ZodType<ChangeParams> = z.object({
  team: z.string().describe('Team id of the rota.'),
  id: z.string().describe('Id of the cover or swap.'),
});

export interface NoticeJson {
  readonly place: string;
  readonly words: string;
}

export const noticeSchema: z.ZodType<NoticeJson> = z
  .object({
    place: z.string().describe('Where in the rota, or in the sites of the fleet.'),
    words: z.string().describe('What is the matter, and what to do.'),
  })
  .meta({ id: 'RotaNotice' });

export interface ChangeOutcomeJson {
  readonly id: string;
  readonly kept: boolean;
  readonly generation: number;
  readonly shifts: readonly ShiftJson[];
  readonly notices: readonly NoticeJson[];
}

export const changeOutcomeSchema: z.ZodType<ChangeOutcomeJson> = z
  .object({
    id: z.string().describe('Id of the cover or swap.'),
    kept: z.boolean().describe('false when it was only tried.'),
    generation: z.int().describe('Of the rota that is kept now.'),
    shifts: z.array(shiftSchema).describe('The shifts that it alters, as they are after it.'),
    notices: z.array(noticeSchema).describe('What somebody should look at because of it.'),
  })
  .meta({ id: 'RotaChangeOutcome' });
