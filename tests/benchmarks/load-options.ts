/** What a load run is told, as JSON on its command line. */
export interface LoadOptions {
  readonly port: number;
  readonly nodes: readonly {
    readonly username: string;
    readonly password: string;
    readonly topic: string;
  }[];
  readonly shape: keyof typeof PACK_SHAPES;
  readonly packsPerNode: number;
  /** Unacknowledged packs a node has under way. */
  readonly window: number;
  /** Event time of the first pack, seconds since 1970; ten digits. */
  readonly startSeconds: number;
}

interface PackShape {
  readonly readings: number;
  readonly values: number;
  readonly secondsPerPack: number;
  /** JSON text whose only base time is `"bt":` and ten digits. */
  payload(startSeconds: number): string;
}

const SIX_CHANNELS = [
  ['rh', '%RH', 61.24],
  ['t', 'Cel', 14.21],
  ['leak', 'A', 0.00123],
  ['ia', 'A', 17.12],
  ['ib', 'A', 17.03],
  ['ic', 'A', 17.31],
] as const;

const MINUTE_SECONDS = 60;
const BACKLOG_READINGS = 100;

function records(minutes: number, startSeconds: number): string {
  const all: unknown[] = [];
  for (let minute = 0; minute < minutes; minute++) {
    for (const [name, unit, value] of SIX_CHANNELS) {
      const time = minute === 0 ? {} : { t: minute * MINUTE_SECONDS };
      all.push({
        ...(all.length === 0 ? { bt: startSeconds } : {}),
        n: name,
        u: unit,
        ...time,
        v: value,
      });
    }
  }
  return JSON.stringify(all);
}

export const PACK_SHAPES = {
  /** One reading of six channels, as a node sends it each minute. */
  live: {
    readings: 1,
    values: SIX_CHANNELS.length,
    secondsPerPack: MINUTE_SECONDS,
    payload: (startSeconds: number) => records(1, startSeconds),
  },
  /** A hundred readings of six channels, as a node sends them after an outage. */
  backlog: {
    readings: BACKLOG_READINGS,
    values: BACKLOG_READINGS * SIX_CHANNELS.length,
    secondsPerPack: BACKLOG_READINGS * MINUTE_SECONDS,
    payload: (startSeconds: number) => records(BACKLOG_READINGS, startSeconds),
  },
} as const satisfies Record<string, PackShape>;
