import { z } from 'zod';
import { timeMs, timeText } from './time-fields.ts';

/** What a technician can have done. */
export const SERVICE_ACTIONS = [
  'fuses-replaced',
  'contactor-replaced',
  'connector-replaced',
  'cleaned',
  'sealed',
  'gasket-replaced',
  'drain-cleared',
  'connections-torqued',
  'insulation-test',
  'inspection',
  'root-cause',
  'disconnect-opened',
  'disconnect-closed',
] as const;
type ServiceAction = (typeof SERVICE_ACTIONS)[number];

type Phase = 'a' | 'b' | 'c';

export interface ServiceBody {
  readonly site?: string | undefined;
  readonly unit?: string | undefined;
  readonly time?: number | undefined;
  readonly action: ServiceAction;
  readonly phases?: readonly Phase[] | undefined;
  readonly [free: string]: unknown;
}

const PHASES_RULE = 'must be a list of a, b, c, each at most once';

const phases = z
  .array(z.enum(['a', 'b', 'c'], { error: PHASES_RULE }), { error: PHASES_RULE })
  .max(3, { error: PHASES_RULE })
  .refine((list) => new Set(list).size === list.length, { error: PHASES_RULE });

/** A service record as it is posted; fields that are not listed are kept as they are. */
export const serviceBody: z.ZodType<ServiceBody> = z
  .looseObject({
    site: z.string().optional().describe('That of the address, if given.'),
    unit: z.string().optional().describe('That of the address, if given.'),
    time: timeMs.optional().describe('When it was done; default now, at most 5 minutes ahead.'),
    action: z.enum(SERVICE_ACTIONS, { error: `must be one of ${SERVICE_ACTIONS.join(', ')}` }),
    phases: phases.optional(),
  })
  .meta({ id: 'ServiceEntry' });

export interface ServiceJson {
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly time: string;
  readonly action: string;
  readonly phases?: readonly string[] | undefined;
  readonly recordedAt: string;
  readonly recordedBy: string;
  readonly [free: string]: unknown;
}

/** A service record as it is kept. */
export const serviceSchema: z.ZodType<ServiceJson> = z
  .looseObject({
    id: z.string(),
    site: z.string(),
    unit: z.string(),
    time: timeText,
    action: z.string(),
    phases: z.array(z.string()).optional(),
    recordedAt: timeText,
    recordedBy: z.string(),
  })
  .meta({ id: 'ServiceRecord' });
