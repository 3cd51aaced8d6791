import { z } from 'zod';

const said = z.discriminatedUnion('kind', [
  /** It has looked and goes on. */
  z.object({ kind: z.literal('looked') }),
  z.object({
    kind: z.literal('log'),
    level: z.enum(['info', 'warn']),
    words: z.string(),
    about: z.record(z.string(), z.union([z.string(), z.number()])),
  }),
]);

/** What a bystander says to its server: one JSON object a line. */
export type BystanderLine =
  | { readonly kind: 'looked' }
  | {
      readonly kind: 'log';
      readonly level: 'info' | 'warn';
      readonly words: string;
      readonly about: Readonly<Record<string, string | number>>;
    };

/** Null for what is no line of a bystander. */
export function parseBystanderLine(text: string): BystanderLine | null {
  try {
    return said.parse(JSON.parse(text));
  } catch {
    return null;
  }
}
