import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { alarmsOfUnit, episodesOfUnit, telemetry } from '../api/client.ts';
import { ApiFailure } from '../api/problem.ts';
import type { Alarm, Episode, TelemetryPoint, Unit } from '../api/types.ts';
import type { Range } from '../routes/route.ts';
import { FAR_BEHIND_MS } from '../state/arrival.ts';
import { useNow } from '../state/clock.ts';
import { type LiveReading, onReading } from '../state/live.ts';
import { withReading } from './columns.ts';
import { UNIT_CHANNELS, WEATHER_CHANNELS } from './panels.ts';
import { type Span, spanOf } from './span.ts';

export type Channels = ReadonlyMap<string, readonly TelemetryPoint[]>;

interface RecordingData {
  readonly channels: Channels;
  readonly alarms: readonly Alarm[];
  readonly episodes: readonly Episode[];
}

/** A desk shows a day of one-minute readings raw; a phone has fewer pixels and a slower line. */
const POINTS_WIDE = 1500;
const POINTS_NARROW = 600;
const NARROW_PX = 700;

/** Everything is read anew this often while the span ends now; sooner while late readings come. */
const READ_ANEW_MS = 5 * 60_000;
const READ_ANEW_ARRIVING_MS = 10_000;

const LIVE_STEP_MS = 1000;

const WEATHER = 'weather';
const NOTHING: RecordingData = { channels: new Map(), alarms: [], episodes: [] };

/** An outdoor station is optional: a site without one answers 404. */
async function weatherOf(site: string, span: Span, points: number): Promise<Channels> {
  try {
    const answer = await telemetry(site, WEATHER, span.fromMs, span.toMs, WEATHER_CHANNELS, points);
    return new Map([...answer].map(([name, channel]) => [`${WEATHER}.${name}`, channel]));
  } catch (error) {
    if (error instanceof ApiFailure && error.status === 404) return new Map();
    throw error;
  }
}

async function readRecording(site: string, unit: string, span: Span): Promise<RecordingData> {
  const points = innerWidth < NARROW_PX ? POINTS_NARROW : POINTS_WIDE;
  const { fromMs, toMs } = span;
  const [inside, outside, alarms, episodes] = await Promise.all([
    telemetry(site, unit, fromMs, toMs, UNIT_CHANNELS, points),
    weatherOf(site, span, points),
    alarmsOfUnit(site, unit, fromMs, toMs),
    episodesOfUnit(site, unit, fromMs, toMs),
  ]);
  return { channels: new Map([...inside, ...outside]), alarms, episodes };
}

function extended(data: RecordingData, readings: readonly LiveReading[]): RecordingData {
  const channels = new Map(data.channels);
  for (const { unit, atMs, channels: values } of readings) {
    const prefix = unit === WEATHER ? `${WEATHER}.` : '';
    const listed = unit === WEATHER ? WEATHER_CHANNELS : UNIT_CHANNELS;
    for (const name of listed) {
      const value = values[name];
      if (value === undefined) continue;
      const key = `${prefix}${name}`;
      channels.set(key, withReading(channels.get(key) ?? [], atMs, value));
    }
  }
  return { ...data, channels };
}

export interface Recorded {
  readonly data: RecordingData;
  readonly span: Span;
  readonly loading: boolean;
  readonly failure: ApiFailure | null;
  readonly readAnew: () => void;
}

/** The readings of a range with what happened in it; it grows live when the range ends now. */
export function useRecording(unit: Unit, range: Range): Recorded {
  const nowMs = useNow();
  const [data, setData] = useState(NOTHING);
  const [loading, setLoading] = useState(true);
  const [failure, setFailure] = useState<ApiFailure | null>(null);
  const [round, setRound] = useState(0);
  const endsNow = 'last' in range;
  const rangeKey = endsNow ? range.last : `${range.fromMs} ${range.toMs}`;
  const { site, unit: unitId } = unit;

  // `rangeKey` stands for `range`.
  useEffect(() => {
    let wanted = true;
    setLoading(true);
    readRecording(site, unitId, spanOf(range, Date.now()))
      .then(
        (read) => {
          if (!wanted) return;
          setData(read);
          setFailure(null);
        },
        (error: unknown) => {
          if (wanted && error instanceof ApiFailure) setFailure(error);
        },
      )
      .finally(() => wanted && setLoading(false));
    return () => {
      wanted = false;
    };
  }, [site, unitId, rangeKey, round]);

  useLiveReadings(site, unitId, endsNow, {
    extend: (readings) => setData((before) => extended(before, readings)),
    readAnew: () => setRound((before) => before + 1),
  });

  const newestMs = unit.lastReading === null ? 0 : Date.parse(unit.lastReading.time);
  // `rangeKey` stands for `range`.
  const span = useMemo(
    () => spanOf(range, Math.max(nowMs, Math.min(newestMs, nowMs + FAR_BEHIND_MS))),
    [rangeKey, nowMs, newestMs],
  );
  return { data, span, loading, failure, readAnew: () => setRound((before) => before + 1) };
}

/** Gathers live readings of the unit and its outdoor station, and notices late ones. */
function useLiveReadings(
  site: string,
  unit: string,
  on: boolean,
  actions: {
    readonly extend: (readings: readonly LiveReading[]) => void;
    readonly readAnew: () => void;
  },
): void {
  const newest = useRef(actions);
  newest.current = actions;
  useEffect(() => {
    if (!on) return;
    let gathered: LiveReading[] = [];
    let late = false;
    const stop = onReading((reading) => {
      if (reading.site !== site || (reading.unit !== unit && reading.unit !== WEATHER)) return;
      if (reading.unit === unit && Date.now() - reading.atMs > FAR_BEHIND_MS) late = true;
      else gathered.push(reading);
    });
    const step = setInterval(() => {
      if (gathered.length === 0) return;
      newest.current.extend(gathered);
      gathered = [];
    }, LIVE_STEP_MS);
    const arriving = setInterval(() => {
      if (late) newest.current.readAnew();
      late = false;
    }, READ_ANEW_ARRIVING_MS);
    const anew = setInterval(() => newest.current.readAnew(), READ_ANEW_MS);
    return () => {
      stop();
      for (const timer of [step, arriving, anew]) clearInterval(timer);
    };
  }, [site, unit, on]);
}
