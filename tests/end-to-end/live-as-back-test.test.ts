/**
 * Live path and back-test give the same alarms for the same data: readings with past event times
 * over MQTT, shuffled, repeated and cut apart, weather and service records late among them.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { MqttClient } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './eventually.ts';
import { type Installation, install } from './installation.ts';
import { inventedHistory, type Line, packOf, shuffled } from './invented-history.ts';
import { lineside } from './server-process.ts';

interface AlarmBody {
  readonly site: string;
  readonly unit: string;
  readonly kind: string;
  readonly raised: string;
  readonly cleared: string | null;
  readonly priorities: readonly { readonly priority: string; readonly since: string }[];
}

const UNITS = [
  ['harbour-mall', 'rtu-01'],
  ['harbour-mall', 'rtu-02'],
  ['hilltop-school', 'rtu-11'],
] as const;
const LINES_PER_PACK = 60;

describe('the live path', () => {
  let here: Installation;
  const history = inventedHistory(Date.UTC(2026, 0, 5), UNITS);

  beforeAll(async () => {
    here = await install();
  });
  afterAll(() => here.dispose());

  const backTest = async (): Promise<readonly AlarmBody[]> => {
    const folder = dirname(here.place.fleetFile);
    const file = (name: string): string => join(folder, `${name}.ndjson`);
    const write = (name: string, lines: readonly object[]): void =>
      writeFileSync(file(name), lines.map((line) => `${JSON.stringify(line)}\n`).join(''));
    write('readings', shuffled(history.readings, 3));
    write('weather', history.weather);
    write('service', history.services);
    const done = await lineside([
      'backtest',
      ...['--fleet', here.place.fleetFile],
      ...['--telemetry', file('readings')],
      ...['--weather', file('weather')],
      ...['--service', file('service')],
      ...['--alarms', file('alarms')],
    ]);
    expect(done).toMatchObject({ status: 0 });
    const text = readFileSync(file('alarms'), 'utf8');
    return text
      .trim()
      .split('\n')
      .map((line): AlarmBody => JSON.parse(line));
  };

  const send = async (clients: ReadonlyMap<string, MqttClient>, lines: readonly Line[]) => {
    const packs: { readonly key: string; readonly lines: Line[] }[] = [];
    for (const line of lines) {
      const key = `${line.site}/${line.unit}`;
      const open = packs.findLast((pack) => pack.key === key);
      if (open !== undefined && open.lines.length < LINES_PER_PACK) open.lines.push(line);
      else packs.push({ key, lines: [line] });
    }
    for (const { key, lines: some } of shuffled(packs, 11)) {
      const topic = `lineside/${key}/telemetry`;
      await clients.get(key)?.publishAsync(topic, packOf(some), { qos: 1 });
    }
  };

  it('gives what a back-test gives, whatever the order of arrival', {
    timeout: 120_000,
  }, async () => {
    const clients = new Map<string, MqttClient>();
    for (const [site, unit] of [...UNITS, ['harbour-mall', 'weather'] as const]) {
      clients.set(`${site}/${unit}`, await here.node(site, unit));
    }
    const half = Math.floor(history.readings.length / 2);
    // The first half comes in order, the second in any; a part comes twice, the weather between.
    await send(clients, history.readings.slice(0, half));
    await send(clients, history.weather);
    for (const { site, unit, ...body } of shuffled(history.services, 5)) {
      const answer = await here.post(`/api/units/${site}/${unit}/service`, body);
      expect(answer.status).toBe(201);
    }
    await send(clients, shuffled(history.readings.slice(half), 7));
    await send(clients, shuffled(history.readings.slice(half - 500, half + 500), 9));
    await eventually(
      async () =>
        (await (await fetch(`${here.server.http}/api/health`)).json()) as { pending: number },
      ({ pending }) => pending === 0,
      { withinMs: 60_000 },
    );
    const live = await here.get<{ items: readonly AlarmBody[] }>('/api/alarms?limit=1000');
    const expected = judgedPart(await backTest());
    expect(judgedPart(live.items)).toEqual(expected);
    const kinds = new Set(expected.map(({ kind }) => kind));
    expect([...kinds].sort()).toEqual(
      expect.arrayContaining(['leakage', 'phase-loss', 'repeat-fuse', 'supply-loss', 'unbalance']),
    );
  });
});

/** Silence goes by time of receipt when live, and by gaps in a back-test. */
function judgedPart(alarms: readonly AlarmBody[]) {
  return alarms
    .filter(({ kind }) => kind !== 'silent')
    .map(({ site, unit, kind, raised, cleared, priorities }) => ({
      where: `${site}/${unit}`,
      kind,
      raised,
      cleared,
      priorities: priorities.map(({ priority, since }) => [priority, since]),
    }))
    .sort((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1));
}
