import { randomUUID } from 'node:crypto';
import type { SharedParts } from '../shared-parts.ts';
import { Judge } from './judge.ts';
import { JudgementWriter } from './judgement-writer.ts';
import { Round } from './round.ts';
import { ServiceInbox } from './service-inbox.ts';
import { SilenceWatch } from './silence-watch.ts';
import { Watches } from './watches.ts';
import { WeatherTracks } from './weather-tracks.ts';

export interface JudgingParts {
  readonly watches: Watches;
  readonly tracks: WeatherTracks;
  readonly silence: SilenceWatch;
  readonly round: Round;
  readonly judge: Judge;
}

interface JudgingHooks {
  /** Called after each round: there may be room for more readings. */
  readonly onRound: () => void;
  /** Called after a commit that changed alarms. */
  readonly onAlarms: () => void;
}

export function createJudgingParts(shared: SharedParts, hooks: JudgingHooks): JudgingParts {
  const { fleet, pauses, live, metrics, recordsHealth } = shared;
  const { records, log } = shared.given;
  const watches = new Watches();
  const tracks = new WeatherTracks();
  const silence = new SilenceWatch(fleet);
  const writer = new JudgementWriter({
    records,
    health: recordsHealth,
    pauses,
    newId: randomUUID,
    onAlarms: hooks.onAlarms,
  });
  const round = new Round({
    fleet,
    watches,
    tracks,
    writer,
    metrics,
    log,
    onCondition: (site, unit, condition) => live.judged(site, unit, condition),
  });
  const services = new ServiceInbox(records, pauses, log);
  const { onRound } = hooks;
  const judge = new Judge({ fleet, watches, round, services, silence, records, log, onRound });
  return { watches, tracks, silence, round, judge };
}
