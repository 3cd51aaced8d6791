import { z } from 'zod';
import type { PartHealth } from '../dependencies.ts';

export interface HealthJson {
  readonly state: PartHealth['state'];
  readonly broker: PartHealth;
  readonly telemetry: PartHealth;
  readonly records: PartHealth;
  readonly pending: number;
}

const state = z.enum(['ok', 'degraded', 'down']);

const part = z
  .object({ state, reason: z.string().nullable().describe('Why, when it is not ok.') })
  .meta({ id: 'PartHealth' });

export const healthSchema: z.ZodType<HealthJson> = z
  .object({
    state: state.describe('The worst of the parts.'),
    broker: part,
    telemetry: part,
    records: part,
    pending: z
      .int()
      .describe('Committed readings not yet judged. At 0 the alarms are final for all of them.'),
  })
  .meta({ id: 'Health' });
