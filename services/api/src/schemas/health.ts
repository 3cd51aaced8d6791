import { z } from 'zod';
import type { HouseHealth, PartHealth } from '../dependencies.ts';

export interface HealthJson extends HouseHealth {
  readonly state: PartHealth['state'];
}

const state = z.enum(['ok', 'degraded', 'down']);

const part = z
  .object({ state, reason: z.string().nullable().describe('Why, when it is not ok.') })
  .meta({ id: 'PartHealth' });

export const healthSchema: z.ZodType<HealthJson> = z
  .object({
    state: state.describe('The worst of the parts.'),
    ingest: part,
    alerting: part,
    broker: part,
    telemetry: part,
    records: part,
    pending: z
      .int()
      .nullable()
      .describe(
        'Committed readings not yet judged. At 0 the alarms are final for all of them. Null when ' +
          'the service that judges does not answer: nothing can be said of the alarms then.',
      ),
  })
  .meta({ id: 'Health' });
