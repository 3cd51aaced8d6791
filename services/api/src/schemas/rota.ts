import { z } from 'zod';
import { type PersonJson, personSchema } from './on-call.ts';
import { type NoticeJson, noticeSchema } from './rota-change.ts';

export interface ChangeJson {
  readonly id: string;
  readonly kind: 'cover' | 'swap';
  readonly call: 'first' | 'second' | null;
  readonly words: string;
  readonly people: readonly string[];
}

export interface RotaJson {
  readonly generation: number;
  readonly people: readonly PersonJson[];
  readonly teams: readonly {
    readonly id: string;
    readonly name: string;
    readonly zone: string;
    readonly members: readonly string[];
    readonly changes: readonly ChangeJson[];
  }[];
  readonly notices: readonly NoticeJson[];
  readonly document: { readonly [key: string]: unknown } | null;
}

const changeSchema: z.ZodType<ChangeJson> = z
  .object({
    id: z.string(),
    kind: z.enum(['cover', 'swap']),
    call: z.enum(['first', 'second']).nullable().describe('null: whichever call the person has.'),
    words: z.string().describe('Who takes what from whom.'),
    people: z.array(z.string()).describe('Ids of who gives a shift away.'),
  })
  .meta({ id: 'ArrangedChange' });

export const rotaSchema: z.ZodType<RotaJson> = z
  .object({
    generation: z.int().describe('Rises with each change; 0 before the first rota.'),
    people: z.array(personSchema),
    teams: z.array(
      z.object({
        id: z.string(),
        name: z.string(),
        zone: z.string(),
        members: z.array(z.string()).describe('Ids of who may cover.'),
        changes: z
          .array(changeSchema)
          .describe('Covers and swaps in force and not over, as agreed.'),
      }),
    ),
    notices: z.array(noticeSchema).describe('What somebody should look at in the next 12 weeks.'),
    document: z
      .record(z.string(), z.unknown())
      .nullable()
      .describe('The whole rota, as a rota file has it; null before the first.'),
  })
  .meta({ id: 'Rota' });
