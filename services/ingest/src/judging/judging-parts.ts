import { randomUUID } from 'node:crypto';
import { Arrivals } from '../replay/arrivals.ts';
import { createReplayer } from '../replay/create-replayer.ts';
import { DirtyUnits } from '../replay/dirty-units.ts';
import { type ReplayParts, replayMarked } from '../replay/prepare-replay.ts';
import type { Replayer } from '../replay/replayer.ts';
import { Replays } from '../replay/replays.ts';
import type { SharedParts } from '../shared-parts.ts';
import { type AdoptionParts, adoptReplay } from './adoption.ts';
import { Judge } from './judge.ts';
import { JudgementWriter } from './judgement-writer.ts';
import { Round } from './round.ts';
import { ServiceInbox } from './service-inbox.ts';
import { SettingsBook } from './settings-book.ts';
import { SilenceWatch } from './silence-watch.ts';
import type { UnitWatch } from './unit-watch.ts';
import { createUntilCommitted } from './until-committed.ts';
import { Watches } from './watches.ts';
import { WeatherTracks } from './weather-tracks.ts';

export interface JudgingParts {
  readonly watches: Watches;
  readonly settings: SettingsBook;
  readonly tracks: WeatherTracks;
  readonly arrivals: Arrivals;
  readonly dirty: DirtyUnits;
  readonly silence: SilenceWatch;
  readonly replayer: Replayer;
  readonly writer: JudgementWriter;
  readonly judge: Judge;
  readonly replays: Replays;
}

interface JudgingHooks {
  /** Called after each round: there may be room for more readings. */
  readonly onRound: () => void;
  /** Called after a commit that changed alarms. */
  readonly onAlarms: () => void;
}

export function createJudgingParts(shared: SharedParts, hooks: JudgingHooks): JudgingParts {
  const { fleet, pauses, live, metrics, recordsHealth: health } = shared;
  const { records, telemetry, log, clock } = shared.given;
  const watches = new Watches();
  const settings = new SettingsBook(fleet);
  const tracks = new WeatherTracks();
  const silence = new SilenceWatch(fleet);
  const arrivals = new Arrivals(fleet, tracks);
  const dirty = new DirtyUnits({ records, fleet, health, pauses, clock });
  const untilCommitted = createUntilCommitted({ health, pauses, onAlarms: hooks.onAlarms });
  const writer = new JudgementWriter({ records, untilCommitted, newId: randomUUID, clock });
  const onJudged = (watch: UnitWatch): void => {
    const { site, unit } = watch.ref;
    const known = fleet.watched(site, unit);
    const condition = known === null ? null : watch.condition(known);
    if (condition !== null) live.judged(site, unit, condition);
  };
  const replayer = shared.given.replayer ?? createReplayer(telemetry);
  const replaying: ReplayParts = { records, replayer, fleet, settings, watches };
  const adoption: AdoptionParts = {
    ...replaying,
    records,
    arrivals,
    dirty,
    untilCommitted,
    newId: randomUUID,
    onJudged,
  };
  const round = new Round({
    fleet,
    watches,
    tracks,
    dirty,
    arrivals,
    writer,
    metrics,
    log,
    onJudged,
  });
  const judge = new Judge({
    fleet,
    watches,
    round,
    services: new ServiceInbox(records, pauses, log),
    silence,
    records,
    adopt: (finished) => adoptReplay(adoption, finished),
    metrics: shared.metrics,
    log,
    onRound: hooks.onRound,
  });
  const replays = new Replays({
    dirty,
    replay: (mark) => replayMarked(replaying, mark),
    adopt: (finished) => judge.adopt(finished),
    metrics,
    pauses,
    log,
  });
  return { watches, settings, tracks, arrivals, dirty, silence, replayer, writer, judge, replays };
}
