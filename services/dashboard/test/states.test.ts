import { describe, expect, it } from 'vitest';
import { compartmentPicture, pictureWords } from '../src/components/compartment-picture.ts';
import { formatRoute, parseRoute, type Route } from '../src/routes/route.ts';
import { type ArrivalTrack, arrivalProgress, follow } from '../src/state/arrival.ts';
import { createStore } from '../src/state/store.ts';
import { anAlarm, CONDITION } from './invented.ts';

const MINUTE = 60_000;
const NOW = 1_768_000_000_000;

/** A track fed once a second for ten seconds. */
function paced(firstMs: number, stepMs: number): ArrivalTrack {
  let track: ArrivalTrack | undefined;
  for (let second = 0; second <= 10; second += 1) {
    track = follow(track, firstMs + second * stepMs, NOW - 10_000 + second * 1000);
  }
  return track as ArrivalTrack;
}

describe('arriving history', () => {
  it('is told by readings far behind that come faster than time', () => {
    const tracks = [paced(NOW - 5000 * MINUTE, 60 * MINUTE), paced(NOW - 10_000, 1000)];
    expect(arrivalProgress(tracks, 3, NOW)).toEqual({
      upToMs: NOW - 4400 * MINUTE,
      caughtUp: 1,
      total: 3,
    });
  });

  it('is not claimed for a node that is late but keeps its pace', () => {
    expect(arrivalProgress([paced(NOW - 20 * MINUTE, 1000)], 1, NOW)).toBeNull();
  });

  it('is not claimed for a node that has stopped', () => {
    const track = paced(NOW - 5000 * MINUTE, 60 * MINUTE);
    expect(arrivalProgress([track], 1, NOW + 31_000)).toBeNull();
    expect(arrivalProgress([paced(NOW - 60 * MINUTE, 0)], 1, NOW)).toBeNull();
  });
});

describe('addresses', () => {
  const routes: readonly Route[] = [
    { screen: 'units', by: 'need', find: '' },
    { screen: 'units', by: 'site', find: 'food & drink' },
    { screen: 'alarms' },
    { screen: 'storms' },
    { screen: 'storm', id: '20260113T0500Z-harbour' },
    { screen: 'welcome', secret: 'a/b c' },
    { screen: 'unit', site: 's', unit: 'u', range: { last: '24h' } },
    { screen: 'unit', site: 's', unit: 'u', range: { last: '6w' } },
    { screen: 'unit', site: 's', unit: 'u', range: { fromMs: NOW, toMs: NOW + 1 } },
  ];

  it.each(routes)('lead back to where they come from: %o', (route) => {
    expect(parseRoute(formatRoute(route))).toEqual(route);
  });

  it('with a span that is none fall back to the last day', () => {
    expect(parseRoute('#/unit/s/u?from=2026-01-02&to=2026-01-01')).toMatchObject({
      range: { last: '24h' },
    });
  });

  it('that mean nothing lead nowhere', () => {
    expect(parseRoute('#/unit/s').screen).toBe('nowhere');
    expect(parseRoute('#/%E0%A4%A').screen).toBe('nowhere');
  });
});

describe('the picture of a compartment', () => {
  it('shows where the most probable cause of a standing alarm puts the track', () => {
    const picture = compartmentPicture(CONDITION, [anAlarm()]);
    expect(picture).toEqual({
      air: 'dry',
      contactor: 'open',
      fuse: 'whole',
      track: { place: 'line-side', priority: 'urgent' },
    });
    expect(pictureWords(picture)).toBe(
      'Compartment dry; idle, contactor open, line side live; ' +
        'current leaks to ground on the line side.',
    );
  });

  it('shows no track for an alarm that is over', () => {
    const over = anAlarm({
      state: 'returned-unacknowledged',
      standing: false,
      cleared: CONDITION.time,
    });
    expect(compartmentPicture(CONDITION, [over]).track).toBeNull();
  });

  it('never calls a dead unit free of voltage', () => {
    const picture = compartmentPicture({ ...CONDITION, operatingState: 'dead' }, []);
    expect(picture.fuse).toBe('open');
    expect(pictureWords(picture)).not.toMatch(/safe|voltage|de-energi/i);
  });

  it('tells nearly wet, wet and unknown apart', () => {
    const air = (dewPointMarginKelvin: number | null): string =>
      compartmentPicture({ ...CONDITION, dewPointMarginKelvin }, []).air;
    expect([air(5), air(1.9), air(null)]).toEqual(['dry', 'nearly-wet', 'unknown']);
    expect(compartmentPicture(null, []).contactor).toBe('unknown');
  });
});

describe('a store', () => {
  it('tells those who watch, once a change, until they stop', () => {
    const store = createStore(1);
    let told = 0;
    const stop = store.subscribe(() => {
      told += 1;
    });
    store.set(2);
    store.set(2);
    stop();
    store.set(3);
    expect([told, store.get()]).toEqual([1, 3]);
  });
});
