import { type Alarm, type AlarmAction, actOnAlarm } from '@lineside/alarms';
import type { Ingest } from '@lineside/ingest';
import type { Chance } from './chance.ts';
import type { Visit } from './roof-history.ts';
import type { ServiceLives } from './service-lives.ts';
import type { Troubles } from './troubles.ts';

/** An acknowledgement that a person was told is kept. */
export interface KeptAcknowledgement {
  readonly alarmId: string;
  readonly revision: number;
  readonly atMs: number;
}

/** How soon somebody tries again to write a visit down, ms. */
const RETRY_MS = 3_000;

/** How long somebody waits for an answer, ms. */
const PATIENCE_MS = 10_000;

/** People who look at alarms, and who write visits down, through the running service. */
export class People {
  readonly kept: KeptAcknowledgement[] = [];
  readonly #lives: ServiceLives;
  readonly #chance: Chance;
  readonly #troubles: Troubles;
  readonly #nowMs: () => number;
  readonly #isThere: (visit: Visit) => boolean;
  #unwritten = 0;
  /** Services that have not answered yet, once for each call. */
  readonly #asked: Ingest[] = [];
  #written = 0;

  constructor(
    lives: ServiceLives,
    given: {
      readonly chance: Chance;
      readonly troubles: Troubles;
      readonly nowMs: () => number;
      /** Whether a visit can be seen in the records. */
      readonly isThere: (visit: Visit) => boolean;
    },
  ) {
    this.#lives = lives;
    this.#chance = given.chance;
    this.#troubles = given.troubles;
    this.#nowMs = given.nowMs;
    this.#isThere = given.isThere;
  }

  /** Visits that are still to be written down. */
  get unwritten(): number {
    return this.#unwritten;
  }

  /** Calls of the running service about visits that it has not answered. */
  get uncertain(): number {
    return this.#asked.filter((one) => one === this.#lives.ingest).length;
  }

  /** Looks at alarms now and then, until everything works. */
  watch(meanMs: number): void {
    const look = (): void => {
      if (!this.#troubles.areOn) return;
      this.#act().catch(() => {});
      setTimeout(look, this.#chance.whole(1, 2 * meanMs));
    };
    setTimeout(look, this.#chance.whole(1, 2 * meanMs));
  }

  /** Writes a visit down in `inMs`, and again until somebody can see it. */
  write(visit: Visit, inMs: number): void {
    this.#unwritten += 1;
    const givesUp = this.#chance.happens(0.5);
    const isTold = this.#recorder(visit);
    const write = async (): Promise<void> => {
      const wasTold = await isTold();
      // Who was not told looks whether it is there, or just writes it again.
      if (wasTold || (givesUp && this.#isThere(visit))) this.#unwritten -= 1;
      else setTimeout(() => void write(), RETRY_MS);
    };
    setTimeout(() => void write(), inMs);
  }

  /** Tries to write a visit down; true once an answer says that it is kept. */
  #recorder({ site, unit, atMs, action, phases }: Visit): () => Promise<boolean> {
    return async () => {
      const { records, ingest } = this.#lives;
      if (records === null || ingest === null) return false;
      this.#written += 1;
      this.#asked.push(ingest);
      const added = records.addServiceRecord({
        id: `visit-${this.#written}`,
        site,
        unit,
        atMs,
        action,
        body: { action, phases },
        recordedAtMs: this.#nowMs(),
        recordedBy: 'rosa',
      });
      const answered = added
        .then(
          () => true,
          () => false,
        )
        .finally(() => {
          this.#asked.splice(this.#asked.indexOf(ingest), 1);
          ingest.serviceRecorded(site, unit);
        });
      return inTime(answered);
    };
  }

  async #act(): Promise<void> {
    const { records, ingest } = this.#lives;
    if (records === null || ingest === null) return;
    const alarms = (await records.openAlarms()).filter(({ state }) => state !== 'normal');
    if (alarms.length === 0) return;
    const sorted = [...alarms].sort((one, other) => (wordsOf(one) < wordsOf(other) ? -1 : 1));
    const alarm = this.#chance.pick(sorted);
    const atMs = this.#nowMs();
    const outcome = actOnAlarm(alarm, this.#action(atMs), { atMs, by: 'emil' });
    if (!outcome.ok || outcome.entry === null) return;
    await records.changeAlarms([{ entry: outcome.entry }]);
    const { id: alarmId, revision } = outcome.alarm;
    if (outcome.entry.event === 'acknowledge') this.kept.push({ alarmId, revision, atMs });
    ingest.journalGrew();
  }

  #action(nowMs: number): AlarmAction {
    const kind = this.#chance.next();
    if (kind < 0.7) return { type: 'acknowledge' };
    if (kind < 0.85) return { type: 'unshelve' };
    const untilMs = nowMs + this.#chance.whole(1_000, 240_000);
    return { type: 'shelve', untilMs, reason: 'a visit is booked' };
  }
}

function wordsOf({ site, unit, kind, raisedAtMs }: Alarm): string {
  return `${site}/${unit} ${kind} ${raisedAtMs}`;
}

/** A killed service never answers: somebody who waits for it gives up. */
function inTime(answered: Promise<boolean>): Promise<boolean> {
  const givenUp = new Promise<boolean>((resolve) => {
    setTimeout(() => resolve(false), PATIENCE_MS);
  });
  return Promise.race([answered, givenUp]);
}
