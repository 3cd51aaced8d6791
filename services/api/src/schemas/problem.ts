import { z } from 'zod';

/** One thing that is wrong with a request. */
export interface FieldFault {
  /** Where: names and positions joined by dots, empty for the whole. */
  readonly path: string;
  readonly message: string;
}

/** Problem details, RFC 9457. */
export interface Problem {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  readonly detail?: string | undefined;
  readonly code: string;
  readonly errors?: readonly FieldFault[] | undefined;
}

/** The body of every answer that is not a success. */
export const problemSchema: z.ZodType<Problem> = z
  .object({
    type: z.string().describe('about:blank: the title is that of the status.'),
    title: z.string(),
    status: z.int(),
    detail: z.string().optional().describe('What was wrong and what to do.'),
    code: z.string().describe('Stable name of the problem for programs.'),
    errors: z
      .array(z.object({ path: z.string(), message: z.string() }))
      .optional()
      .describe('With status 400: each thing that is wrong and where it stands.'),
  })
  .meta({ id: 'Problem' });
