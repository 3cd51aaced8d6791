import {
  addWeather,
  WEATHER_TRACK_MOST_REPORTS,
  WeatherTrack,
  weatherFor,
} from '@lineside/anomaly';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { HOUR_MS, MINUTE_MS, outdoors, START_MS } from './observed-unit.ts';

function trackOf(times: readonly number[]): WeatherTrack {
  const track = new WeatherTrack();
  for (const atMs of times) addWeather(track, outdoors(atMs, { rh: 80, t: 5 }));
  return track;
}

describe('the outdoor report that a reading is judged by', () => {
  const track = trackOf([START_MS, START_MS + HOUR_MS, START_MS + 2 * HOUR_MS]);

  it.each([
    [9, null],
    [10, 0],
    [69, 0],
    [70, 60],
    [130, 120],
    [300, 120],
    [301, null],
  ])('%d minutes in is the one of minute %s', (minute, expected) => {
    const found = weatherFor(track, START_MS + minute * MINUTE_MS);
    expect(found === null ? null : (found.atMs - START_MS) / MINUTE_MS).toBe(expected);
  });

  it('is the same in whatever order reports came in and times are asked for', () => {
    const minutes = fc.array(fc.integer({ min: 0, max: 600 }), { maxLength: 40 });
    fc.assert(
      fc.property(minutes, minutes, (reports, asked) => {
        const shuffled = trackOf(reports.map((minute) => START_MS + minute * MINUTE_MS));
        for (const minute of asked) {
          const fitting = reports.filter((each) => each <= minute - 10 && each >= minute - 180);
          const newest = fitting.length === 0 ? null : Math.max(...fitting);
          const found = weatherFor(shuffled, START_MS + minute * MINUTE_MS);
          expect(found === null ? null : (found.atMs - START_MS) / MINUTE_MS).toBe(newest);
        }
      }),
    );
  });
});

describe('a weather track', () => {
  it('keeps the first value of a channel and adds channels that were missing', () => {
    const track = trackOf([START_MS]);
    expect(addWeather(track, outdoors(START_MS, { rh: 10, rain: 1 }))).toBe(true);
    expect(addWeather(track, outdoors(START_MS, { rh: 20, rain: 2 }))).toBe(false);
    expect(weatherFor(track, START_MS + HOUR_MS)?.channels).toEqual({ rh: 80, t: 5, rain: 1 });
  });

  it('forgets the oldest reports and stays bounded', () => {
    const count = WEATHER_TRACK_MOST_REPORTS + 3000;
    const track = new WeatherTrack();
    for (let index = 0; index < count; index += 1) {
      addWeather(track, outdoors(START_MS + index * MINUTE_MS, { t: 1 }));
    }
    expect(track.reports.length).toBeLessThanOrEqual(WEATHER_TRACK_MOST_REPORTS + 512);
    expect(addWeather(track, outdoors(START_MS, { t: 1 }))).toBe(false);
    const lastMs = START_MS + (count - 1) * MINUTE_MS;
    expect(weatherFor(track, lastMs + HOUR_MS)?.atMs).toBe(lastMs);
  });

  it('has no weather when it is empty', () => {
    expect(weatherFor(new WeatherTrack(), START_MS)).toBeNull();
  });
});
