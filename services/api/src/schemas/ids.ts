import { z } from 'zod';

/** `{site}/{unit}` of an address. What is in neither the fleet nor the caller's sites is 404. */
export interface UnitParams {
  readonly site: string;
  readonly unit: string;
}

export const unitParams: z.ZodType<UnitParams> = z.object({
  site: z.string().describe('Site id of the fleet.'),
  unit: z.string().describe('Unit id of the fleet.'),
});
