import { ID_PATTERN, ID_RULE } from '@lineside/readings';
import { section } from '@lineside/written-file';
import { z } from 'zod';
import type { SiteFields, StatedUnit } from './fleet-document.ts';
import type { LimitKey } from './limits.ts';
import { GROUNDINGS } from './unit.ts';

/**
 * Shapes of the fleet file. The message of each part says what is expected there; unknown keys are
 * refused, so that a misspelt safety limit does not vanish.
 */

/** Longest name; it must fit a table. */
const NAME_MOST_CHARACTERS = 200;
/** Longest way description; it must fit a message to a phone. */
const ACCESS_MOST_CHARACTERS = 2000;
/** Most contactors of one unit; far above any real unit. */
const CONTACTORS_MOST = 100;

function text(most: number): z.ZodString {
  const error = `text of 1 to ${most} characters`;
  return z.string({ error }).min(1, { error }).max(most, { error });
}

function number(lowest: number, highest: number, unit: string): z.ZodNumber {
  const error = `a number from ${lowest} to ${highest}${unit === '' ? '' : ` (${unit})`}`;
  return z.number({ error }).min(lowest, { error }).max(highest, { error });
}

const id = z.string({ error: ID_RULE }).regex(ID_PATTERN, { error: ID_RULE });
const name = text(NAME_MOST_CHARACTERS);
const amps = number(0.01, 10_000, 'A');

function isTimeZone(zone: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: zone });
    return true;
  } catch {
    return false;
  }
}

const timezoneWords = 'an IANA time zone such as America/Halifax';
const timezone = z.string({ error: timezoneWords }).refine(isTimeZone, { error: timezoneWords });

/** Everything of a site but its units. */
export const siteFields: {
  readonly id: z.ZodType<string>;
  readonly name: z.ZodType<SiteFields['name']>;
  readonly timezone: z.ZodType<SiteFields['timezone']>;
  readonly latitude: z.ZodType<SiteFields['latitude']>;
  readonly longitude: z.ZodType<SiteFields['longitude']>;
} = {
  id,
  name: name.optional(),
  timezone: timezone.optional(),
  latitude: number(-90, 90, 'degrees north').optional(),
  longitude: number(-180, 180, 'degrees east').optional(),
};

const supply = section({
  volts: number(100, 1000, 'V, line to line'),
  hertz: number(45, 65, 'Hz').optional(),
  grounding: z.enum(GROUNDINGS, { error: `one of ${GROUNDINGS.join(', ')}` }).optional(),
  mca: amps.optional(),
  mop: amps.optional(),
});

const polesWords = 'a whole number from 1 to 4';
const contactor = section({
  name,
  load: name.optional(),
  poles: z.int({ error: polesWords }).min(1, polesWords).max(4, polesWords).optional(),
  fla: amps.optional(),
});

const leakage = number(0.1, 10_000, 'mA').optional();
const unbalance = number(0.1, 100, '%').optional();
const silent = number(1, 43_200, 'minutes').optional();

const limits = section({
  leakageRoutine: leakage,
  leakageUrgent: leakage,
  leakageEmergency: leakage,
  unbalanceRoutine: unbalance,
  unbalanceUrgent: unbalance,
  voltageUnbalanceRoutine: unbalance,
  voltageUnbalanceUrgent: unbalance,
  voltageUnbalanceEmergency: unbalance,
  silentRoutine: silent,
  silentUrgent: silent,
} satisfies Record<LimitKey, z.ZodType>);

const metres = number(-10_000, 10_000, 'metres on the roof plan');
const contactorsWords = `a list of at most ${CONTACTORS_MOST} contactors`;

/** Every field of a unit. */
export const unitFields: {
  readonly [key in keyof Required<StatedUnit>]: z.ZodType<StatedUnit[key]>;
} = {
  id,
  name: name.optional(),
  supply,
  fuses: section({ class: text(40).optional(), amps: amps.optional() }).optional(),
  contactors: z
    .array(contactor, { error: contactorsWords })
    .max(CONTACTORS_MOST, { error: contactorsWords })
    .optional(),
  drive: z.boolean({ error: 'true or false' }).optional(),
  access: text(ACCESS_MOST_CHARACTERS).optional(),
  roof: section({ x: metres, y: metres }).optional(),
  node: section({
    supply: z.enum(['battery', 'unit-24v'], { error: 'battery or unit-24v' }).optional(),
  }).optional(),
  limits: limits.optional(),
};
