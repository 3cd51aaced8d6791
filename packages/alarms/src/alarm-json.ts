import {
  CAUSES,
  type CauseEstimate,
  type Evidence,
  FINDING_KINDS,
  type FindingKind,
  PRIORITIES,
  type Priority,
} from '@lineside/anomaly';
import { z } from 'zod';
import { ALARM_STATES, type Alarm, type AlarmState } from './alarm.ts';
import { ALARM_ID_PATTERN } from './alarm-id.ts';
import { rfc3339 } from './rfc3339.ts';

/** One step of the priority, as JSON. */
export interface PriorityStepJson {
  readonly priority: Priority;
  /** Event time. */
  readonly since: string;
  readonly causes: readonly CauseEstimate[];
}

/** An alarm as it looks outside, everywhere the same. Times are RFC 3339 in UTC. */
export interface AlarmJson {
  readonly id: string;
  readonly site: string;
  readonly unit: string;
  readonly kind: FindingKind;
  readonly priority: Priority;
  readonly state: AlarmState;
  readonly standing: boolean;
  readonly raised: string;
  readonly cleared: string | null;
  readonly acknowledged: string | null;
  readonly acknowledgedBy: string | null;
  readonly shelvedUntil: string | null;
  readonly shelvedBy: string | null;
  readonly shelveReason: string | null;
  readonly priorities: readonly PriorityStepJson[];
  readonly headline: string;
  readonly evidence: Evidence;
  readonly causes: readonly CauseEstimate[];
  readonly withdrawn: boolean;
}

/** An alarm for everybody outside: HTTP, MQTT, events, back-test. */
export function alarmJson(alarm: Alarm): AlarmJson {
  return {
    id: alarm.id,
    site: alarm.site,
    unit: alarm.unit,
    kind: alarm.kind,
    priority: alarm.priority,
    state: alarm.state,
    standing: alarm.standing,
    raised: rfc3339(alarm.raisedAtMs),
    cleared: timeOrNull(alarm.clearedAtMs),
    acknowledged: timeOrNull(alarm.acknowledgedAtMs),
    acknowledgedBy: alarm.acknowledgedBy,
    shelvedUntil: timeOrNull(alarm.shelvedUntilMs),
    shelvedBy: alarm.shelvedBy,
    shelveReason: alarm.shelveReason,
    priorities: alarm.priorities.map(({ priority, sinceMs, causes }) => ({
      priority,
      since: rfc3339(sinceMs),
      causes,
    })),
    headline: alarm.headline,
    evidence: alarm.evidence,
    causes: alarm.causes,
    withdrawn: alarm.withdrawn,
  };
}

/** Payload of the alarm's retained topic: its JSON, empty once the alarm is normal. */
export function retainedPayload(alarm: Alarm): string {
  return alarm.state === 'normal' ? '' : JSON.stringify(alarmJson(alarm));
}

const time = z.iso.datetime().describe('RFC 3339, UTC.');

const cause = z.object({
  cause: z.enum(CAUSES),
  probability: z.number().min(0).max(1),
  because: z.array(z.string()),
});

const step = z.object({
  priority: z.enum(PRIORITIES),
  since: time,
  causes: z.array(cause).describe('As judged then.'),
});

type Fields = { readonly [Name in keyof AlarmJson]: z.ZodType<AlarmJson[Name]> };

/** The fields of `alarmJsonSchema`, for whoever adds some. */
export const alarmJsonFields: Fields = {
  id: z.string().regex(ALARM_ID_PATTERN),
  site: z.string(),
  unit: z.string(),
  kind: z.enum(FINDING_KINDS),
  priority: z.enum(PRIORITIES).describe('The highest reached.'),
  state: z.enum(ALARM_STATES).describe('State of ANSI/ISA-18.2.'),
  standing: z.boolean().describe('Whether its condition is present, whatever the state.'),
  raised: time.describe('Event time of the first raise.'),
  cleared: time.nullable().describe('Event time; null while it stands.'),
  acknowledged: time.nullable().describe('Time of the acknowledgement that holds now.'),
  acknowledgedBy: z.string().nullable(),
  shelvedUntil: time.nullable().describe('When it comes off the shelf by itself.'),
  shelvedBy: z.string().nullable(),
  shelveReason: z.string().nullable(),
  priorities: z.array(step).describe('Raise, rises and reopenings, oldest first.'),
  headline: z.string(),
  evidence: z
    .record(z.string(), z.union([z.number(), z.string(), z.boolean(), z.null()]))
    .describe('Numbers behind the alarm; each name carries its unit.'),
  causes: z.array(cause).describe('Most probable first.'),
  withdrawn: z.boolean().describe('Whether later data took its cause away; it is over then.'),
};

/** Schema of `AlarmJson`. Whoever names it in a document gives it an id: `.meta({ id })`. */
export const alarmJsonSchema: z.ZodType<AlarmJson> = z.object(alarmJsonFields);

function timeOrNull(atMs: number | null): string | null {
  return atMs === null ? null : rfc3339(atMs);
}
