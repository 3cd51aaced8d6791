import type { Alarm } from '@lineside/alarms';
import type {
  AlarmChange,
  AlarmVerdict,
  ApiToken,
  BrokerUser,
  ContactPoint,
  DirtyMark,
  DirtyUnit,
  Invitation,
  Judgement,
  NodeCredential,
  NodeRevocation,
  Person,
  Presence,
  QuarantineEntry,
  Rejudged,
  ServiceRecord,
  SessionRecord,
  SignInFailures,
  StoredEpisode,
  StoredJournalEntry,
  UnitHold,
  UnitRef,
} from '@lineside/storage';
import { StoreError } from '@lineside/storage';
import { keptSnapshots, type SavedSnapshot } from './kept-snapshots.ts';
import { asJson, badInput, checkTimes } from './port-rules.ts';
import { noAlerting, type SavedAlerting } from './saved-alerting.ts';

interface SavedCheckpoint extends UnitRef {
  readonly judgedThroughMs: number;
  readonly state: string;
}

interface SavedSettings extends UnitRef {
  readonly fromMs: number;
  readonly settings: string;
}

/** What a record store keeps, apart from any handle: it survives a crash of the service. */
export class RecordDisk {
  fleet: string | null = null;
  readonly alarms: Map<string, Alarm> = new Map();
  readonly journal: StoredJournalEntry[] = [];
  readonly checkpoints: Map<string, SavedCheckpoint> = new Map();
  readonly episodes: Map<string, StoredEpisode> = new Map();
  /** By unit, oldest first. */
  readonly snapshots: Map<string, readonly SavedSnapshot[]> = new Map();
  readonly dirty: Map<string, DirtyUnit> = new Map();
  readonly generations: Map<string, number> = new Map();
  readonly settings: Map<string, SavedSettings> = new Map();
  readonly services: Map<string, ServiceRecord> = new Map();
  quarantine: { readonly sequence: number; readonly entry: QuarantineEntry }[] = [];
  quarantined = 0;
  readonly presences: Map<string, Presence> = new Map();
  readonly credentials: Map<string, NodeCredential> = new Map();
  readonly revocations: NodeRevocation[] = [];
  readonly brokerUsers: Map<string, BrokerUser> = new Map();
  readonly tokens: Map<string, ApiToken> = new Map();
  readonly people: Map<string, Person> = new Map();
  readonly invitations: Map<string, Invitation> = new Map();
  readonly failures: Map<string, SignInFailures> = new Map();
  readonly sessions: Map<string, SessionRecord> = new Map();
  readonly alerting: SavedAlerting = noAlerting();
  rota: { readonly generation: number; readonly document: string } | null = null;
  readonly contacts: Map<string, ContactPoint> = new Map();
  readonly secrets: Map<string, string> = new Map();
  /** Hash of the secret of each user name's calendar. */
  readonly calendars: Map<string, string> = new Map();
  readonly holds: Map<string, UnitHold> = new Map();
  /** By alarm and person. */
  readonly verdicts: Map<string, AlarmVerdict> = new Map();
  /** Called after each commit that changed alarms, with what was added to the journal. */
  onAlarms: ((added: readonly StoredJournalEntry[]) => void) | null = null;

  /** Checks all changes first, so that nothing of them is kept when one does not follow. */
  changeAlarms(changes: readonly AlarmChange[]): void {
    this.#checkChanges(changes);
    const added: StoredJournalEntry[] = [];
    for (const { entry } of changes) {
      this.alarms.set(entry.alarm.id, entry.alarm);
      added.push({ ...entry, sequence: this.journal.length + added.length + 1 });
    }
    this.journal.push(...added);
    if (added.length > 0) this.onAlarms?.(added);
  }

  commitJudgement(judgement: Judgement): void {
    const { checkpoints, alarms, episodes, snapshots = [], rejudged = [] } = judgement;
    const saved = checkpoints.map(({ site, unit, judgedThroughMs, state }) => {
      checkTimes('A checkpoint', judgedThroughMs);
      return { site, unit, judgedThroughMs, state: asJson('The state of a watch', state) };
    });
    const savedSnapshots = snapshots.map(({ site, unit, throughMs, state }) => {
      checkTimes('A snapshot', throughMs);
      return { site, unit, throughMs, state: asJson('A snapshot', state) };
    });
    for (const { episode } of episodes) checkTimes('An episode', episode.startMs, episode.endMs);
    this.#checkChanges(alarms);
    for (const one of rejudged) this.#forget(one);
    this.changeAlarms(alarms);
    for (const checkpoint of saved) this.checkpoints.set(refKey(checkpoint), checkpoint);
    for (const one of episodes) {
      this.episodes.set(`${refKey(one)}/${one.episode.startMs}`, one);
    }
    for (const one of savedSnapshots) {
      const others = this.snapshotsOf(one).filter(({ throughMs }) => throughMs !== one.throughMs);
      this.snapshots.set(refKey(one), [...others, one]);
    }
    for (const one of savedSnapshots) {
      this.snapshots.set(refKey(one), keptSnapshots(this.snapshotsOf(one)));
    }
  }

  snapshotsOf(ref: UnitRef): readonly SavedSnapshot[] {
    return this.snapshots.get(refKey(ref)) ?? [];
  }

  markDirty(marks: readonly DirtyMark[]): void {
    for (const { fromMs } of marks) checkTimes('A mark', fromMs);
    for (const mark of marks) {
      const { site, unit } = mark;
      const key = refKey(mark);
      const generation = (this.generations.get(key) ?? 0) + 1;
      const fromMs = Math.min(mark.fromMs, this.dirty.get(key)?.fromMs ?? mark.fromMs);
      this.generations.set(key, generation);
      this.dirty.set(key, { site, unit, fromMs, generation });
    }
  }

  copy(): RecordDisk {
    const { onAlarms: _listener, ...data } = this;
    return Object.assign(new RecordDisk(), structuredClone(data));
  }

  #forget(rejudged: Rejudged): void {
    const key = refKey(rejudged);
    const { sinceMs, generation } = rejudged;
    const older = this.snapshotsOf(rejudged).filter(({ throughMs }) => throughMs <= sinceMs);
    this.snapshots.set(key, older);
    for (const [episodeKey, one] of this.episodes) {
      if (refKey(one) === key && one.episode.startMs > sinceMs) this.episodes.delete(episodeKey);
    }
    if (generation !== null && this.dirty.get(key)?.generation === generation) {
      this.dirty.delete(key);
    }
  }

  #checkChanges(changes: readonly AlarmChange[]): void {
    const after = new Map<string, Alarm>();
    for (const { entry } of changes) {
      const { alarm } = entry;
      if (alarm.id.length < 1 || alarm.id.length > 64)
        throw badInput('an id of 1 to 64 characters');
      checkTimes('A journal entry', entry.atMs, alarm.raisedAtMs, alarm.clearedAtMs);
      const stored = (after.get(alarm.id) ?? this.alarms.get(alarm.id))?.revision ?? 0;
      if (stored !== alarm.revision - 1) {
        throw conflict(`alarm ${alarm.id} has revision ${stored}, not ${alarm.revision - 1}`);
      }
      after.set(alarm.id, alarm);
      if (alarm.standing) this.#checkStandsAlone(alarm, after);
    }
  }

  #checkStandsAlone({ id, site, unit, kind }: Alarm, after: ReadonlyMap<string, Alarm>): void {
    for (const stored of [...this.alarms.values(), ...after.values()]) {
      const other = after.get(stored.id) ?? stored;
      const isSameKind = other.site === site && other.unit === unit && other.kind === kind;
      if (isSameKind && other.standing && other.id !== id) {
        throw conflict(`a second ${kind} of ${site}/${unit} would stand beside ${other.id}`);
      }
    }
  }
}

export function refKey({ site, unit }: UnitRef): string {
  return `${site}/${unit}`;
}

export function conflict(message: string): StoreError {
  return new StoreError('STORE_CONFLICT', message);
}
