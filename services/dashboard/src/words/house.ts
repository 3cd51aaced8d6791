import type { Health } from '../api/types.ts';

/** What does not work in Lineside itself. */
export interface HouseTrouble {
  /** Whether new readings and alarms can reach the screen. */
  readonly isWatching: boolean;
  /** For everybody, one sentence a part that is down. */
  readonly sentences: readonly string[];
  /** The server's own words of what is not well, for whoever runs it. */
  readonly details: readonly string[];
}

const PARTS = ['ingest', 'broker', 'telemetry', 'records', 'alerting'] as const;
type Part = (typeof PARTS)[number];

/** Without these nothing new is judged. */
const WATCHING: ReadonlySet<Part> = new Set(['ingest', 'broker', 'telemetry', 'records']);

const SENTENCES: Readonly<Record<Part, string>> = {
  ingest:
    'Nothing is watched now: the service that stores and judges readings does not answer. ' +
    'No new reading and no new alarm can show here; what is shown is as it was before.',
  broker:
    'Nothing is watched now: no readings come in, since the broker that nodes send to cannot be ' +
    'reached. What is shown is as it was before.',
  telemetry:
    'Nothing is watched now: readings cannot be stored. Nodes keep them until they can; what is ' +
    'shown is as it was before.',
  records:
    'Nothing is watched now: alarms and changes cannot be stored. What is shown is as it was ' +
    'before.',
  alerting: 'Nobody is paged now: the service that pages does not answer. Look here yourself.',
};

/** What the health of the server's parts means to who looks at the screen; null when all is well. */
export function houseTrouble(health: Health): HouseTrouble | null {
  const isBlind = health.ingest.state === 'down';
  // What only ingest can tell is not known while it is away, and not worth a line of its own.
  const known = PARTS.filter((part) => !isBlind || part === 'ingest' || part === 'alerting');
  const unwell = known.filter((part) => health[part].state !== 'ok');
  if (unwell.length === 0) return null;
  const down = unwell.filter((part) => health[part].state === 'down');
  const firstBlind = down.find((part) => WATCHING.has(part));
  return {
    isWatching: firstBlind === undefined,
    sentences: down
      .filter((part) => part === firstBlind || !WATCHING.has(part))
      .map((part) => SENTENCES[part]),
    details: unwell.map((part) => `${part}: ${health[part].reason ?? health[part].state}`),
  };
}
