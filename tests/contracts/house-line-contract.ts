import { houseHealth } from '@lineside/lineside/house';
import type { Reading } from '@lineside/readings';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  conditionAt,
  eventually,
  type LinePlace,
  type MakeLinePlace,
  NOW_MS,
  PlayedAlerting,
  PlayedIngest,
  readingOf,
  SITE,
} from './house-line-place.ts';

/** What every house line does, whether its services share a process or not. */
export function houseLineContract(make: MakeLinePlace): void {
  let place: LinePlace;
  const ingest = (): PlayedIngest => {
    const played = new PlayedIngest();
    place.ofIngest.bringIngest(played);
    return played;
  };
  describe('a house line', () => {
    beforeEach(async () => {
      place = await make();
    });
    afterEach(() => place.dispose());

    it('says that the services are down until they serve, and that nothing is known of pending', async () => {
      const before = await houseHealth(place.ofApi);
      expect(before).toMatchObject({ ingest: { state: 'down' }, pending: null });
      expect(before.ingest.reason).not.toBeNull();
      place.ofAlerting.bringAlerting(new PlayedAlerting());
      ingest();
      await eventually(async () =>
        expect(await houseHealth(place.ofApi)).toEqual({
          ingest: { state: 'ok', reason: null },
          alerting: { state: 'ok', reason: null },
          broker: { state: 'ok', reason: null },
          telemetry: { state: 'degraded', reason: 'disk full' },
          records: { state: 'ok', reason: null },
          pending: 0,
        }),
      );
    });

    it('counts as pending what was recorded just before the question', async () => {
      const played = ingest();
      played.pendingCount = 3;
      await eventually(async () => expect((await houseHealth(place.ofApi)).pending).toBe(3));
      played.unheardServices = 2;
      expect((await houseHealth(place.ofApi)).pending).toBe(5);
    });

    it('never says that nothing is pending while the records cannot be read', async () => {
      const played = ingest();
      await eventually(async () => expect((await houseHealth(place.ofApi)).pending).toBe(0));
      played.recordsFailure = new Error('disk full');
      expect((await houseHealth(place.ofApi)).pending).toBeNull();
    });

    it('tells of readings and keeps the newest of each unit', async () => {
      const heard: Reading[] = [];
      const end = place.ofApi.ingest.onReadings((readings) => heard.push(...readings));
      const played = ingest();
      const newest = readingOf('rtu-01', NOW_MS + 1000);
      await eventually(() => {
        played.commit(readingOf('rtu-01', NOW_MS), newest);
        expect(heard).toContainEqual(newest);
        expect(place.ofApi.ingest.latest(SITE, 'rtu-01')).toEqual(newest);
        expect(place.ofAlerting.ingest.latest(SITE, 'rtu-01')).toEqual(newest);
      });
      expect(heard.slice(0, 2)).toEqual([readingOf('rtu-01', NOW_MS), newest]);
      expect(place.ofApi.ingest.latest(SITE, 'rtu-02')).toBeNull();
      end();
    });

    it('tells of the newest of each unit also when a backlog comes', async () => {
      const played = ingest();
      await eventually(async () => expect((await houseHealth(place.ofApi)).pending).toBe(0));
      const backlog = Array.from({ length: 6_000 }, (_, index) =>
        readingOf(`rtu-${index % 30}`, NOW_MS + index),
      );
      played.commit(...backlog);
      await eventually(() => {
        for (const reading of backlog.slice(-30)) {
          expect(place.ofApi.ingest.latest(SITE, reading.unit)).toEqual(reading);
        }
      });
    });

    it('tells of conditions', async () => {
      const heard: string[] = [];
      place.ofApi.ingest.onCondition((site, unit, { atMs }) =>
        heard.push(`${site}/${unit}/${atMs}`),
      );
      const played = ingest();
      await eventually(() => {
        played.judge('rtu-01', conditionAt(NOW_MS));
        expect(heard).toContain(`${SITE}/rtu-01/${NOW_MS}`);
      });
      expect(place.ofApi.ingest.condition(SITE, 'rtu-01')).toEqual(conditionAt(NOW_MS));
      expect(place.ofApi.ingest.condition(SITE, 'rtu-02')).toBeNull();
    });

    it('tells everybody that the journal grew, whoever wrote it', async () => {
      const looks = { api: 0, alerting: 0 };
      place.ofApi.ingest.onJournal(() => (looks.api += 1));
      place.ofAlerting.ingest.onJournal(() => (looks.alerting += 1));
      const played = ingest();
      await eventually(() => {
        played.growJournal();
        expect(Math.min(looks.api, looks.alerting)).toBeGreaterThan(2);
      });
      const before = { ...looks };
      place.ofApi.ingest.journalGrew();
      await eventually(() => {
        expect(played.journalLooks).toBe(1);
        expect(looks.api).toBeGreaterThan(before.api);
        expect(looks.alerting).toBeGreaterThan(before.alerting);
      });
    });

    it('tells ingest of service records', async () => {
      const played = ingest();
      await eventually(() => {
        place.ofApi.ingest.serviceRecorded(SITE, 'rtu-01');
        expect(played.serviced).toContain(`${SITE}/rtu-01`);
      });
    });

    it('says how far units are judged, in the order in which they were asked for', async () => {
      const played = ingest();
      played.judged.set('rtu-01', NOW_MS).set('rtu-03', NOW_MS + 3);
      const units = ['rtu-03', 'rtu-02', 'rtu-01'].map((unit) => ({ site: SITE, unit }));
      await eventually(async () =>
        expect(await place.ofAlerting.ingest.judgedThroughMs(units)).toEqual([
          NOW_MS + 3,
          null,
          NOW_MS,
        ]),
      );
    });

    it('tells alerting that messages wait, and asks it how it is', async () => {
      const alerting = new PlayedAlerting();
      place.ofAlerting.bringAlerting(alerting);
      await eventually(() => {
        place.ofApi.alerting.messagesWait();
        expect(alerting.messageHints).toBeGreaterThan(0);
      });
      alerting.failure = 'the disk is full';
      expect((await houseHealth(place.ofApi)).alerting).toEqual({
        state: 'degraded',
        reason: 'the disk is full',
      });
    });

    it('says that the fleet may be another once ingest serves', async () => {
      let hints = 0;
      place.ofApi.ingest.onFleet(() => (hints += 1));
      ingest();
      await eventually(() => expect(hints).toBeGreaterThan(0));
    });

    it('carries the heartbeat of ingest', async () => {
      const played = ingest();
      await eventually(() => expect(place.ofAlerting.ingest.pulse()).toEqual(played.pulse()));
    });
  });
}
