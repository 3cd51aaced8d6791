import {
  alarmTopic,
  ID_PATTERN,
  parsePresence,
  parseTopic,
  presenceTopic,
  telemetryTopic,
} from '@lineside/readings';
import { describe, expect, it } from 'vitest';

describe('topics', () => {
  it('are read back as they are built', () => {
    const place = { site: 'harbour-mall', unit: 'rtu-01' };
    expect(parseTopic(telemetryTopic('harbour-mall', 'rtu-01'))).toEqual({
      type: 'telemetry',
      ...place,
    });
    expect(parseTopic(presenceTopic('harbour-mall', 'rtu-01'))).toEqual({
      type: 'presence',
      ...place,
    });
    expect(parseTopic(alarmTopic('harbour-mall', 'rtu-01', 'phase-loss'))).toEqual({
      type: 'alarm',
      kind: 'phase-loss',
      ...place,
    });
  });

  it.each([
    '',
    'lineside',
    'lineside/a/b',
    'lineside/a/b/other',
    'lineside/a/b/telemetry/',
    'lineside/a/b/telemetry/x',
    'lineside/a/b/alarm',
    'lineside/a/b/alarm/',
    'lineside/a/b/alarm/x/y',
    '/lineside/a/b/telemetry',
    'Lineside/a/b/telemetry',
    'lineside/A/b/telemetry',
    'lineside//b/telemetry',
    'lineside/+/b/telemetry',
    'lineside/a-/b/telemetry',
    'lineside/a/b\n/telemetry',
    '$SYS/broker',
  ])('%j is none of ours', (topic) => {
    expect(parseTopic(topic)).toBeNull();
  });
});

describe('ids', () => {
  it.each(['a', '0', 'a-b', 'a--b', `a${'b'.repeat(62)}`])('%s is one', (id) => {
    expect(ID_PATTERN.test(id)).toBe(true);
  });

  it.each(['', '-', '-a', 'a-', 'A', 'a_b', 'a.b', 'ä', 'a b', 'a\n', `a${'b'.repeat(63)}`])(
    '%j is none',
    (id) => {
      expect(ID_PATTERN.test(id)).toBe(false);
    },
  );
});

describe('presence', () => {
  it.each([
    ['online', 'online'],
    ['offline', 'offline'],
    ['', null],
    ['Online', null],
    ['online ', null],
    ['"online"', null],
  ])('%j is %j', (text, state) => {
    expect(parsePresence(new TextEncoder().encode(text))).toBe(state);
  });
});
