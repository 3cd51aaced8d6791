import type { UnitCondition } from '@lineside/anomaly';
import type { PartHealth } from '@lineside/api';
import type { IngestPulse } from '@lineside/ingest';
import type { Reading } from '@lineside/readings';
import { z } from 'zod';
import type { IngestHealth } from '../house-line.ts';

/** How often ingest says that it lives. */
export const BEAT_EVERY_MS = 2_000;

/** How long an answer may take; ingest answers within milliseconds unless it is stuck. */
export const ANSWER_WITHIN_MS = 2_000;

/** Units of one question; about 60 bytes each. */
export const UNITS_PER_QUESTION = 2_000;

/** News that are numbered, so that who hears them knows when one got lost. */
export const NEWS_KINDS = ['readings', 'conditions'] as const;
export type NewsKind = (typeof NEWS_KINDS)[number];

interface Numbered {
  /** Of one life of ingest. */
  readonly run: string;
  /** From 1 on, each kind by itself. */
  readonly sequence: number;
}

export interface Beat {
  readonly run: string;
  readonly told: Readonly<Record<NewsKind, number>>;
  /** False while it starts. */
  readonly serves: boolean;
  readonly pulse: IngestPulse;
}

export interface ReadingsNews extends Numbered {
  readonly readings: readonly Reading[];
}

export interface ConditionNews {
  readonly site: string;
  readonly unit: string;
  readonly condition: UnitCondition;
}

export interface ConditionsNews extends Numbered {
  readonly conditions: readonly ConditionNews[];
}

/** What ingest is asked. */
export type IngestQuestion =
  | { readonly what: 'health' }
  | {
      readonly what: 'judged-through';
      readonly units: readonly { readonly site: string; readonly unit: string }[];
    };

const count = z.number().int().min(0);
const ageMs = z.number().min(0);
export const partShape: z.ZodType<PartHealth> = z.object({
  state: z.enum(['ok', 'degraded', 'down']),
  reason: z.string().nullable(),
});

export const beatShape: z.ZodType<Beat> = z.object({
  run: z.string(),
  told: z.object({ readings: count, conditions: count }),
  serves: z.boolean(),
  pulse: z.object({
    commitAgeMs: ageMs,
    waitingBytes: z.number(),
    lastCommitAtMs: z.number().nullable(),
    judgingAgeMs: ageMs,
    waitingReadings: z.number(),
  }),
});

export const healthShape: z.ZodType<IngestHealth> = z.object({
  ingest: partShape,
  broker: partShape,
  telemetry: partShape,
  records: partShape,
  pending: count.nullable(),
});

export const questionShape: z.ZodType<IngestQuestion> = z.discriminatedUnion('what', [
  z.object({ what: z.literal('health') }),
  z.object({
    what: z.literal('judged-through'),
    units: z.array(z.object({ site: z.string(), unit: z.string() })),
  }),
]);

export const judgedThroughShape: z.ZodType<readonly (number | null)[]> = z.array(
  z.number().nullable(),
);

export const unitShape: z.ZodType<{ readonly site: string; readonly unit: string }> = z.object({
  site: z.string(),
  unit: z.string(),
});

/** By hand, since there may be thousands a second; nobody but ingest can write there. */
export function isReadingsNews(message: unknown): message is ReadingsNews {
  return isNumbered(message) && 'readings' in message && isListOf(message.readings, isReading);
}

export function isConditionsNews(message: unknown): message is ConditionsNews {
  return (
    isNumbered(message) && 'conditions' in message && isListOf(message.conditions, isConditionNews)
  );
}

function isNumbered(message: unknown): message is Numbered {
  return (
    isRecord(message) && typeof message['run'] === 'string' && Number.isInteger(message['sequence'])
  );
}

function isReading(value: unknown): value is Reading {
  return isOfUnit(value) && Number.isFinite(value['atMs']) && isRecord(value['channels']);
}

function isConditionNews(value: unknown): value is ConditionNews {
  return isOfUnit(value) && isRecord(value['condition']) && 'atMs' in value['condition'];
}

function isOfUnit(value: unknown): value is Record<string, unknown> {
  return isRecord(value) && typeof value['site'] === 'string' && typeof value['unit'] === 'string';
}

function isListOf<T>(value: unknown, isOne: (one: unknown) => one is T): value is readonly T[] {
  return Array.isArray(value) && value.every(isOne);
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null;
}
