import type { Alarm } from '@lineside/alarms';
import { describe, expect, it } from 'vitest';
import { AlarmTopics } from '../src/publish/alarm-topics.ts';
import { anAlarm } from './stand-ins/an-alarm.ts';
import { NOW_MS } from './stand-ins/running-ingest.ts';

const HOUR_MS = 3_600_000;
const LEAKAGE = 'lineside/harbour-mall/rtu-01/alarm/leakage';

/** Topics over a store that holds these alarms as they are now. */
function topicsOver(stored: Alarm[]): {
  readonly topics: AlarmTopics;
  readonly published: readonly (readonly [string, string | null])[];
} {
  const published: (readonly [string, string | null])[] = [];
  const topics = new AlarmTopics({
    records: {
      newestAlarms: async () => {
        const alive = stored.filter(({ withdrawn }) => !withdrawn);
        return alive.sort((a, b) => b.raisedAtMs - a.raisedAtMs).slice(0, 1);
      },
    },
    publish: async (topic, payload) => {
      published.push([topic, payload === '' ? null : JSON.parse(payload).id]);
    },
  });
  return { topics, published };
}

const old = anAlarm({
  id: 'old',
  state: 'returned-unacknowledged',
  standing: false,
  raisedAtMs: NOW_MS - 9 * HOUR_MS,
  clearedAtMs: NOW_MS - 8 * HOUR_MS,
});
const now = anAlarm({ id: 'now', raisedAtMs: NOW_MS });
const over = { state: 'normal', standing: false, clearedAtMs: NOW_MS + 1 } as const;
const gone: Alarm = { ...now, ...over, withdrawn: true, revision: 2 };

describe('the retained topic of a kind', () => {
  it('is emptied when its alarm is withdrawn', async () => {
    const { topics, published } = topicsOver([gone]);
    await topics.show([now]);
    await topics.show([gone]);
    await topics.show([gone]);
    expect(published).toEqual([
      [LEAKAGE, 'now'],
      [LEAKAGE, null],
    ]);
  });

  it('shows the older alarm that is still open when the newest is withdrawn', async () => {
    const { topics, published } = topicsOver([old, gone]);
    await topics.show([old, now]);
    await topics.show([gone]);
    expect(published.map(([, id]) => id)).toEqual(['now', 'old']);
  });

  it('stays as it is when an older alarm is withdrawn', async () => {
    const { topics, published } = topicsOver([{ ...old, withdrawn: true }, now]);
    await topics.show([old, now]);
    await topics.show([{ ...old, state: 'normal', withdrawn: true, revision: 2 }]);
    expect(published.map(([, id]) => id)).toEqual(['now']);
  });

  it('is never taken by an alarm that was raised and withdrawn between two looks', async () => {
    const { topics, published } = topicsOver([old, gone]);
    await topics.show([old]);
    await topics.show([now, gone]);
    expect(published.map(([, id]) => id)).toEqual(['old']);
  });

  it('shows another alarm when the newest turns out to be raised before it', async () => {
    const revised: Alarm = { ...now, ...over, raisedAtMs: NOW_MS - 20 * HOUR_MS, revision: 2 };
    const { topics, published } = topicsOver([old, revised]);
    await topics.show([old, now]);
    await topics.show([revised]);
    expect(published.map(([, id]) => id)).toEqual(['now', 'old']);
  });

  it('does not go back to a state that the journal reaches after a look', async () => {
    const newer: Alarm = { ...old, state: 'normal', revision: 3 };
    const { topics, published } = topicsOver([newer, gone]);
    await topics.show([old, now]);
    await topics.show([gone]);
    await topics.show([{ ...old, headline: 'Another headline', revision: 2 }]);
    expect(published.map(([, id]) => id)).toEqual(['now', null]);
    await topics.show([newer]);
    expect(published).toHaveLength(2);
  });
});
