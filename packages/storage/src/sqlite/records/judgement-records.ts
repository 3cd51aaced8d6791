import type { WettingEpisode } from '@lineside/anomaly';
import type { Database } from 'better-sqlite3';
import {
  EPISODES_BETWEEN_MOST,
  type Judgement,
  type JudgementRecords,
  type StoredEpisode,
  type WatchCheckpoint,
} from '../../ports/record-store.ts';
import { alarmWriter } from './alarm-writer.ts';
import { forgetWriter } from './forget-writer.ts';
import { toJson } from './json-column.ts';
import { type PageParameters, readPage } from './pages.ts';
import { snapshotWriter } from './snapshot-writer.ts';
import type { Synchronous } from './synchronous.ts';

interface CheckpointRow {
  readonly site: string;
  readonly unit: string;
  readonly judged_through_ms: number;
  readonly state: string;
}

interface EpisodeRow {
  readonly site: string;
  readonly unit: string;
  readonly start_ms: number;
  readonly end_ms: number | null;
  readonly episode: string;
}

interface EpisodeSelection extends PageParameters {
  readonly site: string;
  readonly unit: string;
  readonly fromMs: number | null;
  readonly toMs: number | null;
}

export function judgementRecords(db: Database): Synchronous<JudgementRecords> {
  const writeAlarms = alarmWriter(db);
  const forget = forgetWriter(db);
  const writeSnapshots = snapshotWriter(db);
  const putCheckpoint = db.prepare<[string, string, number, string]>(
    `INSERT INTO watch_checkpoints (site, unit, judged_through_ms, state) VALUES (?, ?, ?, ?)
     ON CONFLICT (site, unit) DO UPDATE SET
       judged_through_ms = excluded.judged_through_ms, state = excluded.state`,
  );
  const putEpisode = db.prepare<[EpisodeRow]>(
    `INSERT INTO wetting_episodes (site, unit, start_ms, end_ms, episode)
     VALUES (@site, @unit, @start_ms, @end_ms, @episode)
     ON CONFLICT (site, unit, start_ms) DO UPDATE SET
       end_ms = excluded.end_ms, episode = excluded.episode`,
  );
  const commit = db.transaction((judgement: Judgement) => {
    const { checkpoints, alarms, episodes, snapshots = [], rejudged = [] } = judgement;
    forget(rejudged);
    writeAlarms(alarms);
    for (const { site, unit, judgedThroughMs, state } of checkpoints) {
      putCheckpoint.run(site, unit, judgedThroughMs, toJson('The state of a watch', state));
    }
    for (const stored of episodes) putEpisode.run(episodeRow(stored));
    writeSnapshots(snapshots);
  });
  const checkpoints = db.prepare<[], CheckpointRow>(
    'SELECT * FROM watch_checkpoints ORDER BY site, unit',
  );
  return {
    commitJudgement: (judgement) => commit.immediate(judgement),
    checkpoints: () => checkpoints.all().map(checkpointOf),
    episodes: episodePages(db),
    episodesBetween: episodesBetween(db),
  };
}

function episodePages(db: Database): Synchronous<JudgementRecords>['episodes'] {
  const page = db.prepare<[EpisodeSelection], EpisodeRow>(
    `SELECT * FROM wetting_episodes
     WHERE site = @site AND unit = @unit AND start_ms < @beforeKey
       AND (@toMs IS NULL OR start_ms < @toMs)
       AND (@fromMs IS NULL OR end_ms IS NULL OR end_ms > @fromMs)
     ORDER BY start_ms DESC LIMIT @rows`,
  );
  return ({ site, unit, fromMs = null, toMs = null, ...request }) =>
    readPage(
      'episodes',
      request,
      (parameters) => page.all({ site, unit, fromMs, toMs, ...parameters }),
      (row): StoredEpisode => ({ site: row.site, unit: row.unit, episode: episodeOf(row) }),
      (row) => ({ key: row.start_ms, id: '' }),
    );
}

function episodesBetween(db: Database): Synchronous<JudgementRecords>['episodesBetween'] {
  const found = db.prepare<[Readonly<Record<string, unknown>>], EpisodeRow>(
    `SELECT * FROM wetting_episodes
     WHERE start_ms >= @fromMs AND start_ms < @toMs
       AND (@sites IS NULL OR site IN (SELECT value FROM json_each(@sites)))
     ORDER BY start_ms DESC, site, unit LIMIT ${EPISODES_BETWEEN_MOST}`,
  );
  return ({ fromMs, toMs, sites }) => {
    const sitesJson = sites === undefined ? null : toJson('sites', sites);
    return found
      .all({ fromMs, toMs, sites: sitesJson })
      .map((row) => ({ site: row.site, unit: row.unit, episode: episodeOf(row) }));
  };
}

function episodeRow({ site, unit, episode }: StoredEpisode): EpisodeRow {
  const { startMs, endMs } = episode;
  return { site, unit, start_ms: startMs, end_ms: endMs, episode: toJson('An episode', episode) };
}

function episodeOf(row: EpisodeRow): WettingEpisode {
  return JSON.parse(row.episode);
}

function checkpointOf(row: CheckpointRow): WatchCheckpoint {
  const { site, unit, judged_through_ms: judgedThroughMs } = row;
  return { site, unit, judgedThroughMs, state: JSON.parse(row.state) };
}
