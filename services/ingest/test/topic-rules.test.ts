import { describe, expect, it } from 'vitest';
import type { Identity } from '../src/broker/identity.ts';
import { mayReceive, maySubscribe, publishKind } from '../src/broker/topic-rules.ts';

const node: Identity = { kind: 'node', site: 'harbour-mall', unit: 'rtu-01' };
const station: Identity = { kind: 'node', site: 'harbour-mall', unit: 'weather' };

function token(role: 'office' | 'viewer', sites: readonly string[] | null): Identity {
  return { kind: 'token', token: { id: 't1', tokenHash: 'x', role, sites, createdAtMs: 0 } };
}

describe('what may be published', () => {
  it.each([
    ['lineside/harbour-mall/rtu-01/telemetry', 'telemetry'],
    ['lineside/harbour-mall/rtu-01/presence', 'presence'],
    ['lineside/harbour-mall/rtu-01/alarm/leakage', 'not-allowed'],
    ['lineside/harbour-mall/rtu-011/telemetry', 'not-allowed'],
    ['lineside/harbour-mall/rtu-02/telemetry', 'not-allowed'],
    ['lineside/harbour-mall/weather/telemetry', 'not-allowed'],
    ['lineside/harbour-mall/rtu-01/telemetry/', 'not-allowed'],
    ['$SYS/x/new/clients', 'not-allowed'],
  ] as const)('a node publishing %s is %s', (topic, kind) => {
    expect(publishKind(node, topic)).toBe(kind);
  });

  it('an outdoor station publishes its own topics', () => {
    expect(publishKind(station, 'lineside/harbour-mall/weather/telemetry')).toBe('telemetry');
    expect(publishKind(station, 'lineside/harbour-mall/rtu-01/telemetry')).toBe('not-allowed');
  });

  it('a token publishes nothing', () => {
    const topic = 'lineside/harbour-mall/rtu-01/telemetry';
    expect(publishKind(token('office', null), topic)).toBe('not-allowed');
    expect(publishKind(null, topic)).toBe('not-allowed');
  });
});

describe('what may be subscribed and received', () => {
  it.each([
    ['lineside/+/+/alarm/+', true],
    ['lineside/harbour-mall/+/alarm/leakage', true],
    ['lineside/harbour-mall/rtu-01/alarm/+', true],
    ['lineside/#', false],
    ['lineside/+/+/alarm/#', false],
    ['lineside/+/+/telemetry', false],
    ['lineside/+/+/+/+', false],
    ['+/+/+/alarm/+', false],
    ['$SYS/#', false],
    ['#', false],
  ])('a token subscribing %s is allowed: %s', (filter, allowed) => {
    expect(maySubscribe(token('office', null), filter)).toBe(allowed);
  });

  it('a node subscribes nothing', () => {
    expect(maySubscribe(node, 'lineside/harbour-mall/rtu-01/alarm/+')).toBe(false);
  });

  it('a viewer receives topics of its own sites only', () => {
    const viewer = token('viewer', ['harbour-mall']);
    expect(mayReceive(viewer, 'lineside/harbour-mall/rtu-01/alarm/leakage')).toBe(true);
    expect(mayReceive(viewer, 'lineside/north-depot/rtu-01/alarm/leakage')).toBe(false);
    expect(mayReceive(token('viewer', []), 'lineside/harbour-mall/rtu-01/alarm/x')).toBe(false);
    expect(mayReceive(token('office', null), 'lineside/north-depot/r/alarm/x')).toBe(true);
  });
});
