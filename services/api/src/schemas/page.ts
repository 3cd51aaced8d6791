import { z } from 'zod';

/** Items of a list when the request names no `limit`. */
const PAGE_DEFAULT_ITEMS = 100;
/** Most items of a list at once, so that one answer stays small beside the others. */
export const PAGE_MOST_ITEMS = 1000;
/** Longer than any cursor that the stores or this API hand out. */
const CURSOR_MOST_CHARACTERS = 512;

const LIMIT_RULE = `must be a whole number from 1 to ${PAGE_MOST_ITEMS}`;

/** A page as it is sent: items, newest first unless said, and how to get the ones after. */
export interface PageJson<T> {
  readonly items: readonly T[];
  readonly next: string | null;
}

/** Schema of a page of `item`. */
export function pageOf<T>(item: z.ZodType<T>): z.ZodType<PageJson<T>> {
  return z.object({
    items: z.array(item),
    next: z
      .string()
      .nullable()
      .describe('Opaque; pass it as cursor for what follows. null at the end.'),
  });
}

/** A whole number in a query string. */
export function wholeNumber(lowest: number, highest: number, rule: string): z.ZodType<number> {
  return z
    .string({ error: rule })
    .regex(/^\d{1,9}$/, { error: rule })
    .meta({ type: 'integer', minimum: lowest, maximum: highest, pattern: undefined })
    .transform((text, context) => {
      const number = Number(text);
      if (number >= lowest && number <= highest) return number;
      context.issues.push({ code: 'custom', message: rule, input: text });
      return z.NEVER;
    });
}

/** `limit` and `cursor`, to be spread into a query schema. */
export const pageFields: {
  readonly limit: z.ZodType<number>;
  readonly cursor: z.ZodType<string | undefined>;
} = {
  limit: wholeNumber(1, PAGE_MOST_ITEMS, LIMIT_RULE)
    .default(PAGE_DEFAULT_ITEMS)
    .describe(
      `Most items of the answer, 1 to ${PAGE_MOST_ITEMS}; ${PAGE_DEFAULT_ITEMS} when absent.`,
    ),
  cursor: z
    .string()
    .min(1, { error: 'must be the next of an earlier answer' })
    .max(CURSOR_MOST_CHARACTERS, { error: 'must be the next of an earlier answer' })
    .optional()
    .describe('The `next` of the answer before.'),
};

export interface PageQuery {
  readonly limit: number;
  readonly cursor?: string | undefined;
}
