import { pino } from 'pino';
import { describe, expect, it } from 'vitest';
import { clockVerdict } from '../src/intake/clock-verdict.ts';
import { NodeTraffic } from '../src/intake/node-traffic.ts';
import { TrafficNotes } from '../src/intake/traffic-notes.ts';

const MINUTE_MS = 60_000;

describe('traffic of nodes', () => {
  it('names the loudest of the last whole minute, and no more than asked', () => {
    let nowMs = 0;
    const traffic = new NodeTraffic(() => nowMs);
    const send = (unit: string, count: number): void => {
      for (let i = 0; i < count; i++) traffic.received('mall', unit);
    };
    send('rtu-01', 600);
    send('rtu-02', 60);
    send('rtu-03', 1);
    expect(traffic.loudest(5)).toEqual([]);
    nowMs = MINUTE_MS;
    expect(traffic.loudest(2)).toEqual([
      { node: 'mall/rtu-01', perSecond: 10 },
      { node: 'mall/rtu-02', perSecond: 1 },
    ]);
    nowMs = 3 * MINUTE_MS;
    expect(traffic.loudest(2)).toEqual([]);
  });

  it('takes the newest time of each node, so that a backlog says nothing of its clock', () => {
    let nowMs = 0;
    const traffic = new NodeTraffic(() => nowMs);
    for (nowMs = 0; nowMs <= 2 * MINUTE_MS; nowMs += MINUTE_MS) {
      traffic.newest('mall', 'live', nowMs, nowMs - 2_000);
      traffic.newest('mall', 'late', nowMs, 60 * nowMs - 90 * MINUTE_MS);
    }
    nowMs = 2 * MINUTE_MS;
    const live = { nodes: 1, low: -2, median: -2, high: -2 };
    expect(traffic.clockLeads()).toEqual({
      nodes: 2,
      low: -2,
      median: 1680,
      high: 1680,
      steady: live,
    });
  });

  it('begins anew when the clock was set back', () => {
    let nowMs = 10 * MINUTE_MS;
    const traffic = new NodeTraffic(() => nowMs);
    traffic.received('mall', 'rtu-01');
    nowMs = 0;
    traffic.received('mall', 'rtu-02');
    nowMs = MINUTE_MS;
    expect(traffic.loudest(5).map(({ node }) => node)).toEqual(['mall/rtu-02']);
  });
});

describe('notes on traffic', () => {
  it('name a node that floods once, and say when it has stopped', () => {
    let nowMs = 0;
    const traffic = new NodeTraffic(() => nowMs);
    const lines: string[] = [];
    const write = (line: string): void => {
      const { level, node, perSecond } = JSON.parse(line);
      lines.push([level, node, perSecond].join(' '));
    };
    const notes = new TrafficNotes(traffic, pino({ base: null }, { write }));
    for (let minute = 1; minute <= 2; minute++) {
      for (let i = 0; i < 3_000; i++) traffic.received('mall', 'rtu-01');
      traffic.received('mall', 'rtu-02');
      nowMs = minute * MINUTE_MS;
      notes.look();
      notes.look();
    }
    nowMs += MINUTE_MS;
    notes.look();
    expect(lines).toEqual(['40 mall/rtu-01 50', '30 mall/rtu-01 ']);
  });
});

describe('the clock of this machine', () => {
  /** Nodes that report each minute for as long, each with a lead of its own in seconds. */
  const heard = (leadsSeconds: readonly number[], minutes = 3, speed = 1) => {
    let nowMs = 0;
    const traffic = new NodeTraffic(() => nowMs);
    for (let minute = 0; minute <= minutes; minute++) {
      nowMs = minute * MINUTE_MS;
      leadsSeconds.forEach((lead, index) => {
        traffic.newest('mall', `rtu-${index}`, nowMs, speed * nowMs + lead * 1000);
      });
    }
    return traffic.clockLeads();
  };

  it.each([
    ['is right where nodes report seconds late', heard([-90, -2, -2, 1])],
    ['is right where one node of three is far ahead', heard([-2, -1, 4000])],
    ['is right where each node is behind by another time', heard([-9_000, -4_000, -400])],
    ['is right while nodes bring what all of them kept', heard([-9000, -9000, -9000], 3, 40)],
    ['cannot be told by two nodes', heard([900, 900])],
    ['cannot be told to be ahead by what came just now', heard([-9000, -9000, -9000], 1)],
  ])('%s', (_title, leads) => {
    expect(clockVerdict(leads)).toBe(null);
  });

  it('is behind where half of the nodes are ahead of it', () => {
    expect(clockVerdict(heard([-2, 3600, 3601]))).toMatch(/^half of 3 nodes .* 3600 s .* ahead/);
  });

  it('is ahead where all nodes stay behind it by the same', () => {
    expect(clockVerdict(heard([-3660, -3602, -3601]))).toMatch(/3602 s or more behind/);
  });
});
