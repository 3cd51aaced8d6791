import { StoreError } from '@lineside/storage';
import { describe, expect, it } from 'vitest';
import { alarmOf, RAISED_MS, raiseOf } from './support/alarm.ts';
import { openHouse, START_MS } from './support/house.ts';

const HOUR_MS = 3_600_000;

type Items = { items: { id: string }[]; next: string | null };
const idsIn = (response: { json(): Items }) => response.json().items.map((one) => one.id);

async function houseWithAlarms(...alarms: readonly ReturnType<typeof alarmOf>[]) {
  const house = await openHouse();
  await house.records.changeAlarms(alarms.map((alarm) => ({ entry: raiseOf(alarm) })));
  return house;
}

describe('the list of alarms', () => {
  const cleared = { standing: false, clearedAtMs: RAISED_MS + HOUR_MS } as const;
  const set = [
    alarmOf('a', { raisedAtMs: RAISED_MS }),
    alarmOf('b', { raisedAtMs: RAISED_MS + 1, state: 'returned-unacknowledged', ...cleared }),
    alarmOf('c', { raisedAtMs: RAISED_MS + 2, state: 'normal', ...cleared }),
    alarmOf('d', { raisedAtMs: RAISED_MS + 3, site: 'mill', unit: 'rtu-09', kind: 'silent' }),
    alarmOf('w', { raisedAtMs: RAISED_MS + 4, state: 'normal', ...cleared, withdrawn: true }),
  ];

  it.each([
    ['', 'dcba'],
    ['?withdrawn=false', 'dcba'],
    ['?withdrawn=true', 'wdcba'],
    ['?withdrawn=true&state=open', 'dba'],
    ['?withdrawn=true&unit=rtu-01', 'wcba'],
    ['?state=standing', 'da'],
    ['?state=open', 'dba'],
    ['?site=harbour', 'cba'],
    ['?site=mill&unit=rtu-09', 'd'],
    ['?unit=rtu-01&kind=leakage', 'cba'],
    ['?kind=silent', 'd'],
    [`?from=${new Date(RAISED_MS + HOUR_MS).toISOString()}`, 'da'],
    [`?to=${new Date(RAISED_MS + 1).toISOString()}`, 'a'],
    ['?from=1960-01-01T00:00:00Z&to=1980-01-01T00:00:00Z', ''],
  ])('with %s gives %s', async (query, expected) => {
    const house = await houseWithAlarms(...set);
    const response = await house.call('office', 'GET', `/api/alarms${query}`);
    expect(idsIn(response).join('')).toBe(expected);
  });

  it('says of each alarm what to check there and what to bring', async () => {
    const causes = [{ cause: 'line-side-track-to-ground', probability: 0.8, because: [] }] as const;
    const house = await houseWithAlarms(alarmOf('a', { causes }));
    const list = await house.call('office', 'GET', '/api/alarms');
    const one = await house.call('office', 'GET', '/api/alarms/a');
    for (const alarm of [list.json().items[0], one.json()]) {
      expect(alarm.checks[0]).toContain('tracking marks');
      expect(alarm.bring[0]).toContain('Fuses');
      expect(alarm.cautions[0]).toContain('No reading proves absence of voltage');
    }
  });

  it('takes true or false for withdrawn and nothing else', async () => {
    const house = await houseWithAlarms(...set);
    const response = await house.call('office', 'GET', '/api/alarms?withdrawn=yes');
    expect(response.statusCode).toBe(400);
    expect(response.json()).toMatchObject({ errors: [{ path: 'withdrawn' }] });
  });

  it('pages newest first and stays stable when a new alarm comes in', async () => {
    const house = await houseWithAlarms(...set);
    const first = await house.call('office', 'GET', '/api/alarms?limit=2');
    expect(idsIn(first)).toEqual(['d', 'c']);
    const newer = alarmOf('e', { raisedAtMs: RAISED_MS + HOUR_MS });
    await house.records.changeAlarms([{ entry: raiseOf(newer) }]);
    const { next } = first.json();
    const second = await house.call('office', 'GET', `/api/alarms?limit=2&cursor=${next}`);
    expect(idsIn(second)).toEqual(['b', 'a']);
    expect(second.json().next).toBeNull();
  });
});

describe('one alarm', () => {
  it('is found by its id, also when it is withdrawn', async () => {
    const gone = alarmOf('w', { state: 'normal', standing: false, withdrawn: true });
    const house = await houseWithAlarms(alarmOf('a'), gone);
    const standing = await house.call('office', 'GET', '/api/alarms/a');
    expect(standing.json()).toMatchObject({ id: 'a', withdrawn: false });
    const withdrawn = await house.call('office', 'GET', '/api/alarms/w');
    expect(withdrawn.json()).toMatchObject({ id: 'w', state: 'normal', withdrawn: true });
  });

  it('of another site is 404 for a viewer, as one that is not known', async () => {
    const house = await houseWithAlarms(alarmOf('mine'), alarmOf('m1', { site: 'mill' }));
    expect((await house.call('viewer', 'GET', '/api/alarms/mine')).statusCode).toBe(200);
    const foreign = await house.call('viewer', 'GET', '/api/alarms/m1');
    const unknown = await house.call('viewer', 'GET', '/api/alarms/nope');
    expect(foreign.statusCode).toBe(404);
    expect(foreign.json()).toEqual(unknown.json());
  });
});

describe('acknowledging', () => {
  it('gives the alarm, journals who did it, and twice is no error', async () => {
    const house = await houseWithAlarms(alarmOf('a'));
    const first = await house.call('technician', 'POST', '/api/alarms/a/acknowledge');
    expect(first.statusCode).toBe(200);
    expect(first.json()).toMatchObject({
      id: 'a',
      state: 'acknowledged',
      acknowledged: new Date(START_MS).toISOString().replace('.000', ''),
      acknowledgedBy: expect.stringMatching(/^token /),
    });
    expect(house.records.journal.at(-1)).toMatchObject({ event: 'acknowledge', atMs: START_MS });
    expect(house.live.journalHints).toBe(1);
    const second = await house.call('office', 'POST', '/api/alarms/a/acknowledge', {});
    expect(second.statusCode).toBe(200);
    expect(second.json()).toEqual(first.json());
    expect(house.records.journal).toHaveLength(2);
  });

  it('is no error the second time either where the first made the alarm normal', async () => {
    const back = { state: 'returned-unacknowledged', standing: false } as const;
    const house = await houseWithAlarms(alarmOf('a', { ...back, clearedAtMs: RAISED_MS + 1 }));
    const first = await house.call('technician', 'POST', '/api/alarms/a/acknowledge');
    expect(first.json()).toMatchObject({ state: 'normal' });
    const second = await house.call('office', 'POST', '/api/alarms/a/acknowledge', {});
    expect(second.statusCode).toBe(200);
    expect(second.json()).toEqual(first.json());
    expect(house.records.journal).toHaveLength(2);
  });

  it('of what is normal is 409', async () => {
    const house = await houseWithAlarms(alarmOf('a', { state: 'normal', standing: false }));
    const response = await house.call('office', 'POST', '/api/alarms/a/acknowledge', {});
    expect(response.statusCode).toBe(409);
    expect(response.json()).toMatchObject({ code: 'API_CONFLICT', status: 409 });
  });

  it.each(['acknowledge', 'unshelve'])(
    'and all else of what is withdrawn is 409: %s',
    async (verb) => {
      const gone = alarmOf('a', { state: 'normal', standing: false, withdrawn: true });
      const house = await houseWithAlarms(gone);
      const response = await house.call('office', 'POST', `/api/alarms/a/${verb}`, {});
      expect(response.statusCode).toBe(409);
      expect(response.json()).toMatchObject({
        code: 'API_CONFLICT',
        detail: expect.stringMatching(/^The alarm is withdrawn: later data took its cause away/),
      });
      expect(house.records.journal).toHaveLength(1);
    },
  );

  it('of what is not known is 404', async () => {
    const house = await openHouse();
    const response = await house.call('office', 'POST', '/api/alarms/nope/acknowledge', {});
    expect(response.statusCode).toBe(404);
  });

  it('reads the alarm anew when someone was faster', async () => {
    let conflicts = 2;
    const house = await openHouse({
      records: (memory) => ({
        changeAlarms: (changes) => {
          conflicts -= 1;
          if (conflicts >= 0) throw new StoreError('STORE_CONFLICT', 'revision');
          return memory.changeAlarms(changes);
        },
      }),
    });
    await expect(
      house.records.changeAlarms([{ entry: raiseOf(alarmOf('a')) }]),
    ).resolves.toBeUndefined();
    const response = await house.call('office', 'POST', '/api/alarms/a/acknowledge', {});
    expect(response.json()).toMatchObject({ state: 'acknowledged' });
  });

  it('gives up with 409 when it is always too late', async () => {
    let tries = 0;
    const house = await openHouse({
      records: () => ({
        changeAlarms: async () => {
          tries += 1;
          throw new StoreError('STORE_CONFLICT', 'revision');
        },
      }),
    });
    house.records.alarmsById.set('a', alarmOf('a'));
    const response = await house.call('office', 'POST', '/api/alarms/a/acknowledge', {});
    expect(response.statusCode).toBe(409);
    expect(tries).toBe(5);
    expect(house.live.journalHints).toBe(0);
  });
});

describe('shelving', () => {
  const until = '2026-01-20T00:00:00Z';

  it('puts the alarm aside with a reason, and unshelving brings it back', async () => {
    const house = await houseWithAlarms(alarmOf('a'));
    const body = { until, reason: 'new gasket ordered' };
    const shelved = await house.call('technician', 'POST', '/api/alarms/a/shelve', body);
    expect(shelved.json()).toMatchObject({
      state: 'shelved',
      shelvedUntil: until,
      shelveReason: 'new gasket ordered',
    });
    const back = await house.call('technician', 'POST', '/api/alarms/a/unshelve');
    expect(back.json()).toMatchObject({ state: 'unacknowledged', shelvedUntil: null });
    expect(house.live.journalHints).toBe(2);
  });

  it.each([
    [{ reason: 'x' }, 'until'],
    [{ until: 'tomorrow', reason: 'x' }, 'until'],
    [{ until: '2026-01-14T00:00:00Z', reason: 'x' }, 'until'],
    [{ until: '2027-01-14T00:00:00Z', reason: 'x' }, 'until'],
    [{ until }, 'reason'],
    [{ until, reason: ' ' }, 'reason'],
    [{ until, reason: 'x'.repeat(501) }, 'reason'],
    [undefined, ''],
  ])('with %j is 400 and names %j', async (body, path) => {
    const house = await houseWithAlarms(alarmOf('a'));
    const response = await house.call('office', 'POST', '/api/alarms/a/shelve', body);
    expect(response.statusCode).toBe(400);
    expect(response.json().errors[0].path).toBe(path);
    expect(house.records.alarmsById.get('a')?.state).toBe('unacknowledged');
  });
});
