import {
  asksOfOpenAlarms,
  emptyStepState,
  type KeptAsk,
  type StepState,
  stepStateOf,
} from '@lineside/paging';
import type { AlarmRecords, AlertingRecords, AlertingState } from '@lineside/storage';
import type { Logger } from 'pino';

/** Where alerting stands, as the store has it. */
export interface Standing {
  readonly generation: number;
  readonly journalThrough: number;
  readonly step: StepState;
}

export type StandingRecords = Pick<AlertingRecords, 'alertingState'> &
  Pick<AlarmRecords, 'journalEnd' | 'openAlarms'>;

export interface Loaded {
  readonly standing: Standing;
  /** True: the asks of `standing` are not kept yet. */
  readonly isFirst: boolean;
  /** Alarms whose kept asks are of no use any more. */
  readonly leftOver: readonly string[];
}

/**
 * Where alerting stands. At the first start it begins at the journal's present end, with the alarms
 * that stand unanswered; so it does when another version of the program wrote what is kept: nobody
 * is forgotten then, some are asked once more.
 */
export async function loadStanding(
  records: StandingRecords,
  nowMs: number,
  log: Pick<Logger, 'error'>,
): Promise<Loaded> {
  const stored = await records.alertingState();
  if (stored !== null) {
    try {
      return { standing: standingOf(stored), isFirst: false, leftOver: [] };
    } catch (error) {
      log.error({ err: error }, 'what alerting kept cannot be read, open alarms ask anew');
    }
  }
  // The end is read first: what is added meanwhile is then heard twice, never missed.
  const journalThrough = await records.journalEnd();
  const step = asksOfOpenAlarms(await records.openAlarms(), nowMs);
  return {
    standing: { generation: stored?.generation ?? 0, journalThrough, step },
    isFirst: true,
    leftOver: (stored?.asks ?? []).flatMap(({ alarmId }) =>
      step.asks.has(alarmId) ? [] : alarmId,
    ),
  };
}

/** What the store has before the first step: all asks are then written. */
export function nothingKept(stored: Standing): Standing {
  return { ...stored, step: emptyStepState() };
}

function standingOf({ generation, journalThrough, paging, asks }: AlertingState): Standing {
  const kept = new Map(asks.map(({ alarmId, ask }) => [alarmId, keptAsk(ask)]));
  return { generation, journalThrough, step: stepStateOf(paging, kept) };
}

/** Asks are written and read by this file's own version, which the state beside them names. */
function keptAsk(ask: unknown): KeptAsk {
  if (!isKeptAsk(ask)) throw new RangeError('a kept ask was written by another version');
  return ask;
}

function isKeptAsk(ask: unknown): ask is KeptAsk {
  return typeof ask === 'object' && ask !== null && 'asking' in ask && 'alarm' in ask;
}
