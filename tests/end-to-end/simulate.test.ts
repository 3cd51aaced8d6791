/** `lineside simulate` against a running server: every unit's history arrives over MQTT. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { eventually } from './eventually.ts';
import { type Installation, install } from './installation.ts';
import { lineside } from './server-process.ts';

interface UnitBody {
  readonly unit: string;
  readonly lastReading: { readonly time: string } | null;
  readonly condition: { readonly operatingState: string } | null;
}

describe('lineside simulate', () => {
  let here: Installation;
  beforeAll(async () => {
    here = await install();
  });
  afterAll(() => here.dispose());

  it('sends the history of a fleet file and ends', async () => {
    const startedAtMs = Date.now();
    const { status, stderr } = await lineside([
      'simulate',
      '--fleet',
      here.place.fleetFile,
      '--data',
      here.place.data,
      '--mqtt',
      here.server.mqtt,
      '--days',
      '1',
      '--seed',
      '7',
      '--no-live',
    ]);
    expect(stderr).toContain('history of 3 units sent');
    expect(status).toBe(0);
    await eventually(
      async () =>
        (await (await fetch(`${here.server.http}/api/health`)).json()) as { pending: number },
      ({ pending }) => pending === 0,
    );
    const { items } = await here.get<{ items: UnitBody[] }>('/api/units');
    expect(items).toHaveLength(3);
    for (const unit of items) {
      expect(startedAtMs - Date.parse(unit.lastReading!.time)).toBeLessThan(5 * 60_000);
      expect(unit.condition).not.toBeNull();
    }
    const from = new Date(startedAtMs - 86_400_000).toISOString();
    const weather = await here.get<{ channels: { rh: { points: number[][] } } }>(
      `/api/units/harbour-mall/weather/telemetry?from=${from}`,
    );
    expect(weather.channels.rh.points.length).toBeGreaterThan(100);
  });

  it.each([
    ['an address that is none', 'tcp:/nonsense', 2, /--mqtt/],
    ['a place where nobody listens', 'mqtt://127.0.0.1:1', 3, /no broker answers/],
  ])('refuses %s in one line', async (_title, address, expected, words) => {
    const common = ['--data', here.place.data, '--days', '1', '--no-live'];
    const { status, stderr } = await lineside(['simulate', '--mqtt', address, ...common]);
    expect(status).toBe(expected);
    expect(stderr).toMatch(words);
    expect(stderr.trim().split('\n')).toHaveLength(1);
  });
});
