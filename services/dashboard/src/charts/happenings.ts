import type { Alarm, Episode, ServiceRecord } from '../api/types.ts';
import { actionLabel } from '../words/service-actions.ts';
import { duration } from '../words/times.ts';
import { kindWords, PRIORITY_WORDS, wettingWords } from '../words/vocabulary.ts';
import { overlaps, type Span } from './span.ts';

/** Something beside the readings that a strip marks. `toMs` equals `fromMs` for a moment. */
export interface Happening {
  readonly kind: 'alarm' | 'wetting' | 'service';
  readonly fromMs: number;
  readonly toMs: number;
  /** Short, for the lane above the strips. */
  readonly mark: string;
  /** In full, for the list below them. */
  readonly words: string;
}

function ofAlarm(alarm: Alarm): readonly Happening[] {
  // The headline is that of the newest step; an earlier raise had another one.
  const headline = alarm.priorities.length === 1 ? `: ${alarm.headline}` : '';
  return alarm.priorities.map(({ priority, since }, step) => {
    const atMs = Date.parse(since);
    const word = PRIORITY_WORDS[priority];
    return {
      kind: 'alarm' as const,
      fromMs: atMs,
      toMs: atMs,
      mark: word,
      words:
        step === 0
          ? `${word} alarm raised (${kindWords(alarm.kind)})${headline}`
          : `Alarm rose to ${word.toLowerCase()} (${kindWords(alarm.kind)})`,
    };
  });
}

function ofEpisode(episode: Episode, nowMs: number): Happening {
  const fromMs = Date.parse(episode.start);
  const toMs = episode.end === null ? nowMs : Date.parse(episode.end);
  const lasted = duration(toMs - fromMs);
  const source = wettingWords(episode.source);
  return {
    kind: 'wetting',
    fromMs,
    toMs,
    mark: source,
    words:
      episode.end === null
        ? `Wetting by ${source}, going on for ${lasted}, ${episode.wetHours.toFixed(1)} h wet`
        : `Wetting by ${source}, lasted ${lasted}, ${episode.wetHours.toFixed(1)} h wet`,
  };
}

function ofService(record: ServiceRecord): Happening {
  const atMs = Date.parse(record.time);
  const phases = (record.phases ?? []).map((phase) => phase.toUpperCase()).join(', ');
  const label = actionLabel(record.action);
  return {
    kind: 'service',
    fromMs: atMs,
    toMs: atMs,
    mark: label,
    words: phases === '' ? label : `${label}, phases ${phases}`,
  };
}

/** Everything to mark within a span, oldest first. */
export function happeningsWithin(
  span: Span,
  nowMs: number,
  sources: {
    readonly alarms: readonly Alarm[];
    readonly episodes: readonly Episode[];
    readonly service: readonly ServiceRecord[];
  },
): readonly Happening[] {
  return [
    ...sources.alarms.flatMap(ofAlarm),
    ...sources.episodes.map((episode) => ofEpisode(episode, nowMs)),
    ...sources.service.map(ofService),
  ]
    .filter(({ fromMs, toMs }) => overlaps(span, fromMs, Math.max(toMs, fromMs + 1)))
    .sort((left, right) => left.fromMs - right.fromMs);
}
