import { type Alarm, type AlarmAction, actOnAlarm } from '@lineside/alarms';
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

/** People who look at alarms, and who write visits down, through the running service. */
export class People {
  readonly kept: KeptAcknowledgement[] = [];
  readonly #lives: ServiceLives;
  readonly #chance: Chance;
  readonly #troubles: Troubles;
  readonly #nowMs: () => number;
  #unwritten = 0;
  #uncertain = 0;
  #written = 0;

  constructor(
    lives: ServiceLives,
    given: {
      readonly chance: Chance;
      readonly troubles: Troubles;
      readonly nowMs: () => number;
    },
  ) {
    this.#lives = lives;
    this.#chance = given.chance;
    this.#troubles = given.troubles;
    this.#nowMs = given.nowMs;
  }

  /** Visits that are still to be written down. */
  get unwritten(): number {
    return this.#unwritten;
  }

  /** Visits of which nobody knows whether they are kept. */
  get uncertain(): number {
    return this.#uncertain;
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

  /** Writes a visit down in `inMs`, and again until it is told that it is kept. */
  write(visit: Visit, inMs: number): void {
    this.#unwritten += 1;
    let isTried = false;
    const write = (): void => {
      if (!isTried && this.#lives.records !== null) {
        isTried = true;
        this.#uncertain += 1;
      }
      this.#record(visit).then(
        () => {
          this.#unwritten -= 1;
          this.#uncertain -= 1;
        },
        () => setTimeout(write, RETRY_MS),
      );
    };
    setTimeout(write, inMs);
  }

  async #record({ site, unit, atMs, action, phases }: Visit): Promise<void> {
    const { records, ingest } = this.#lives;
    if (records === null || ingest === null) throw new Error('nobody answers');
    this.#written += 1;
    const isAnswered = await inTime(
      records.addServiceRecord({
        id: `visit-${this.#written}`,
        site,
        unit,
        atMs,
        action,
        body: { action, phases },
        recordedAtMs: this.#nowMs(),
        recordedBy: 'rosa',
      }),
    );
    if (!isAnswered) throw new Error('no answer');
    ingest.serviceRecorded(site, unit);
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
async function inTime(promise: Promise<void>): Promise<boolean> {
  const givenUp = new Promise<boolean>((resolve) => {
    setTimeout(() => resolve(false), 10_000);
  });
  return Promise.race([promise.then(() => true), givenUp]);
}
