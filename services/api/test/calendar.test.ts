import { describe, expect, it } from 'vitest';
import { type House, openHouse } from './support/house.ts';
import { ROTA } from './support/rota.ts';
import { signedIn } from './support/signed-in.ts';

const PATH = '/api/on-call/calendar';

async function filled(): Promise<House> {
  const house = await openHouse({ publicUrl: 'https://oncall.example.org' });
  await house.records.saveRota(ROTA, 0);
  return house;
}

/** Anybody, without signing in. */
const read = (house: House, url: string, headers: Record<string, string> = {}) =>
  house.app.inject({ url, headers });

describe('the calendar of a person', () => {
  it('is behind a secret address, without signing in, and has their shifts alone', async () => {
    const house = await filled();
    const ben = await signedIn(house, house.records, 'ben', 'technician');
    const made = await ben('POST', PATH);
    expect(made.statusCode).toBe(201);
    const { path, shows } = made.json();
    expect(shows).toBe('own');
    const calendar = await read(house, path);
    expect(calendar.statusCode).toBe(200);
    expect(calendar.headers['content-type']).toBe('text/calendar; charset=utf-8');
    const unfolded = calendar.body.replace(/\r\n /g, '');
    expect(unfolded).toMatch(/^BEGIN:VCALENDAR\r\n/);
    const summaries = unfolded.match(/^SUMMARY:.*$/gm) ?? [];
    expect(summaries.length).toBeGreaterThan(30);
    for (const summary of summaries) expect(summary).toMatch(/call: Ben Okafor \(North crew\)/);
    expect(unfolded).toContain('DTSTART:20260112T120000Z');
    expect(unfolded).toMatch(/^UID:north-first-20260112T120000Z@oncall\.example\.org/m);
  });

  it('is not sent again while it is the same', async () => {
    const house = await filled();
    const ben = await signedIn(house, house.records, 'ben', 'technician');
    const { path } = (await ben('POST', PATH)).json();
    const etag = String((await read(house, path)).headers.etag);
    house.nowMs += 3_600_000;
    const again = await read(house, path, { 'if-none-match': etag });
    expect(again.statusCode).toBe(304);
    expect(again.body).toBe('');
    const change = {
      ...{ kind: 'cover', for: 'ben', by: 'cyd' },
      ...{ from: '2026-01-17T18:00', to: '2026-01-18T06:00' },
    };
    await ben('POST', '/api/on-call/teams/north/changes', { change });
    const changed = await read(house, path, { 'if-none-match': etag });
    expect(changed.statusCode).toBe(200);
    expect(changed.body).toContain('DTEND:20260117T220000Z');
  });

  it('ends with a new address, and when it is taken back', async () => {
    const house = await filled();
    const ben = await signedIn(house, house.records, 'ben', 'technician');
    const first = (await ben('POST', PATH)).json().path;
    const second = (await ben('POST', PATH)).json().path;
    expect((await read(house, first)).statusCode).toBe(404);
    expect((await read(house, second)).statusCode).toBe(200);
    expect((await ben('DELETE', PATH)).statusCode).toBe(204);
    expect((await read(house, second)).statusCode).toBe(404);
    expect((await read(house, `${PATH}/${'x'.repeat(43)}.ics`)).statusCode).toBe(404);
    expect((await read(house, `${PATH}/short.ics`)).statusCode).toBe(400);
  });

  it('has the shifts of all teams for the office', async () => {
    const house = await filled();
    const olive = await signedIn(house, house.records, 'olive', 'office');
    const { path, shows } = (await olive('POST', PATH)).json();
    expect(shows).toBe('all');
    const { body } = await read(house, path);
    expect(body).toContain('(North crew)');
    expect(body).toContain('(Mill crew)');
  });

  it('is nothing for tokens, viewers, and technicians who are not in the rota', async () => {
    const house = await filled();
    expect((await house.call('office', 'POST', PATH)).statusCode).toBe(401);
    expect((await house.call('viewer', 'POST', PATH)).statusCode).toBe(403);
    const zoe = await signedIn(house, house.records, 'zoe', 'technician');
    const { path } = (await zoe('POST', PATH)).json();
    expect((await read(house, path)).statusCode).toBe(404);
  });
});
