import type { Priority } from '@lineside/anomaly';
import { section } from '@lineside/written-file';
import { z } from 'zod';
import { WEEKDAYS } from '../local-time.ts';
import { list, time, weekday, whole, zone } from '../schema-parts.ts';
import {
  DEFAULT_ACKNOWLEDGE_MINUTES,
  DEFAULT_QUIET_HOURS,
  type EscalationPolicy,
  LEVELS,
  type Level,
} from './policy.ts';
import { hasDigestOutside } from './quiet-hours.ts';

/** Longest wait for an acknowledgement: a week; whoever waits longer asks nobody. */
const ACKNOWLEDGE_MOST_MINUTES = 10_080;

/** Most windows of quiet hours; a week has seven days, and each may have two. */
const WINDOWS_MOST = 14;

const ladderWords = `some of ${LEVELS.join(', ')} in this order, ending with office`;

const ladder = z
  .array(z.enum(LEVELS, { error: `one of ${LEVELS.join(', ')}` }), { error: ladderWords })
  .refine(isLadder, { error: ladderWords });

function isLadder(levels: readonly Level[]): boolean {
  const inOrder = LEVELS.filter((level) => levels.includes(level));
  return levels.at(-1) === 'office' && levels.join() === inOrder.join();
}

const quietWindow = section({
  days: list(weekday, 1, WEEKDAYS.length, 'days').default([...WEEKDAYS]),
  from: time,
  to: time,
});

const digestWords = 'a digestAt that lies outside the quiet hours on one day of the week at least';

const quietHours = section({
  zone: zone.nullable().default(null),
  windows: list(quietWindow, 1, WINDOWS_MOST, 'windows'),
  digestAt: time,
}).refine(hasDigestOutside, { error: digestWords });

function within(priority: Priority): z.ZodDefault<z.ZodNumber> {
  return whole(1, ACKNOWLEDGE_MOST_MINUTES).default(DEFAULT_ACKNOWLEDGE_MINUTES[priority]);
}

const noQuiet = z.null({ error: 'null, since quiet hours are for routine alarms alone' });

/**
 * Quiet hours are for the routine alone: nobody sleeps through an urgent alarm by configuration.
 */
function loud(priority: Priority) {
  return section({
    ladder: ladder.default([...LEVELS]),
    acknowledgeWithinMinutes: within(priority),
    quietHours: noQuiet.default(null),
  }).prefault({});
}

/** The `escalation` of a rota file; each part may be left out. */
export const escalation: z.ZodType<EscalationPolicy> = section({
  emergency: loud('emergency'),
  urgent: loud('urgent'),
  routine: section({
    ladder: ladder.default([...LEVELS]),
    acknowledgeWithinMinutes: within('routine'),
    quietHours: quietHours.nullable().default({
      ...DEFAULT_QUIET_HOURS,
      windows: DEFAULT_QUIET_HOURS.windows.map((window) => ({ ...window, days: [...window.days] })),
    }),
  }).prefault({}),
}).prefault({});
