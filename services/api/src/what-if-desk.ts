import type { Alarm } from '@lineside/alarms';
import type { FindingKind, Priority } from '@lineside/anomaly';
import type { StatedLimits, Unit } from '@lineside/fleet';

/** How units would have been judged with other limits. Times are event times in ms, half open. */
export interface WhatIfQuestion {
  readonly units: readonly Unit[];
  readonly limits: StatedLimits;
  readonly fromMs: number;
  readonly toMs: number;
}

/** One run of such a question. */
export interface WhatIfState {
  readonly id: string;
  readonly state: 'running' | 'done' | 'cancelled' | 'failed';
  /** Wall-clock time. */
  readonly startedAtMs: number;
  readonly limits: StatedLimits;
  readonly fromMs: number;
  readonly toMs: number;
  readonly units: number;
  readonly unitsDone: number;
  /** Why it failed. */
  readonly reason: string | null;
  readonly answer: {
    /** In order of `raisedAtMs`. */
    readonly alarms: readonly Alarm[];
    readonly counts: readonly {
      readonly kind: FindingKind;
      readonly priority: Priority;
      readonly actual: number;
      readonly would: number;
    }[];
  } | null;
}

/** Runs such questions in the background, one at a time. */
export interface WhatIfDesk {
  /** Null while another one runs. */
  start(question: WhatIfQuestion): WhatIfState | null;
  find(id: string): WhatIfState | null;
  /** Ends it soon; null when it is not known. */
  cancel(id: string): WhatIfState | null;
}
