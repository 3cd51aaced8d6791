import { describe, expect, it } from 'vitest';
import type { WhatIfDesk, WhatIfQuestion, WhatIfState } from '../src/what-if-desk.ts';
import { alarmOf } from './support/alarm.ts';
import { openHouse, START_MS } from './support/house.ts';

/** A desk that notes what it was asked and is told what to answer. */
class NotingDesk implements WhatIfDesk {
  readonly asked: WhatIfQuestion[] = [];
  state: WhatIfState | null = null;
  isBusy = false;

  start(question: WhatIfQuestion): WhatIfState | null {
    if (this.isBusy) return null;
    this.asked.push(question);
    this.state = {
      id: 'run-1',
      state: 'running',
      startedAtMs: START_MS,
      limits: question.limits,
      fromMs: question.fromMs,
      toMs: question.toMs,
      units: question.units.length,
      unitsDone: 0,
      reason: null,
      answer: null,
    };
    return this.state;
  }

  find(id: string): WhatIfState | null {
    return this.state?.id === id ? this.state : null;
  }

  cancel(id: string): WhatIfState | null {
    const state = this.find(id);
    if (state !== null) this.state = { ...state, state: 'cancelled' };
    return this.find(id);
  }
}

const QUESTION = {
  site: 'harbour',
  limits: { leakageUrgent: 15 },
  from: '2026-01-01T00:00:00Z',
  to: '2026-01-10T00:00:00Z',
};

describe('what-if', () => {
  it('asks for units of a site, tells how far it is, and then the alarms', async () => {
    const whatIf = new NotingDesk();
    const house = await openHouse({ whatIf });
    const started = await house.call('office', 'POST', '/api/what-if', QUESTION);
    expect([started.statusCode, started.headers.location]).toEqual([202, '/api/what-if/run-1']);
    expect(whatIf.asked).toHaveLength(1);
    expect(whatIf.asked[0]).toMatchObject({
      limits: { leakageUrgent: 15 },
      fromMs: Date.parse(QUESTION.from),
      toMs: Date.parse(QUESTION.to),
    });
    expect(new Set(whatIf.asked[0]!.units.map(({ site }) => site))).toEqual(new Set(['harbour']));
    const running = (await house.call('office', 'GET', '/api/what-if/run-1')).json();
    expect(running).toMatchObject({ state: 'running', unitsDone: 0, alarms: null, counts: null });
    const alarm = alarmOf('leakage-1', { kind: 'leakage', priority: 'urgent' });
    whatIf.state = {
      ...whatIf.state!,
      state: 'done',
      answer: {
        alarms: [alarm],
        counts: [{ kind: 'leakage', priority: 'urgent', actual: 3, would: 1 }],
      },
    };
    const done = (await house.call('office', 'GET', '/api/what-if/run-1')).json();
    expect(done).toMatchObject({
      state: 'done',
      alarms: [{ id: 'leakage-1' }],
      counts: [{ kind: 'leakage', priority: 'urgent', actual: 3, would: 1 }],
      alarmsLeftOff: 0,
    });
  });

  it('is cancelled on request', async () => {
    const house = await openHouse({ whatIf: new NotingDesk() });
    await house.call('office', 'POST', '/api/what-if', QUESTION);
    const cancelled = await house.call('office', 'DELETE', '/api/what-if/run-1');
    expect([cancelled.statusCode, cancelled.json().state]).toEqual([200, 'cancelled']);
    expect((await house.call('office', 'DELETE', '/api/what-if/run-2')).statusCode).toBe(404);
  });

  it('is for the office alone, and one at a time', async () => {
    const whatIf = new NotingDesk();
    const house = await openHouse({ whatIf });
    for (const role of ['technician', 'viewer'] as const) {
      expect((await house.call(role, 'POST', '/api/what-if', QUESTION)).statusCode).toBe(403);
    }
    whatIf.isBusy = true;
    const busy = await house.call('office', 'POST', '/api/what-if', QUESTION);
    expect([busy.statusCode, busy.json().detail]).toEqual([
      409,
      'Another such question is being answered. Wait for it.',
    ]);
  });

  it.each([
    [{ limits: { leakageUrgnt: 15 } }, 'limits'],
    [{ limits: { leakageUrgent: -1 } }, 'limits'],
    [{ limits: { leakageRoutine: 20, leakageUrgent: 10 } }, 'limits'],
    [{ limits: {}, site: 'nowhere' }, 'site'],
    [{ limits: {}, unit: 'rtu-01' }, 'site'],
    [{ limits: {}, from: QUESTION.to, to: QUESTION.from }, 'from'],
  ])('refuses %j and says where', async (body, path) => {
    const house = await openHouse({ whatIf: new NotingDesk() });
    const answer = await house.call('office', 'POST', '/api/what-if', body);
    expect(answer.statusCode).toBe(400);
    expect(answer.json().errors[0].path).toContain(path);
  });
});
