import { describe, expect, it } from 'vitest';
import { failureOf } from '../src/api/problem.ts';
import { evidenceLine } from '../src/words/evidence.ts';
import { channelValue, milliamps, quantity } from '../src/words/quantities.ts';
import { causeWords, likelihood } from '../src/words/vocabulary.ts';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('numbers', () => {
  it('keep their unit on the line and have a real minus sign', () => {
    expect(quantity(-3.14, 'K', 1)).toBe('−3.1\u00a0K');
    expect(quantity(-0.04, 'K', 1)).toBe('0.0\u00a0K');
    expect(plain(milliamps(1.94))).toBe('1.9 mA');
    expect(plain(milliamps(123.4))).toBe('123 mA');
  });

  it('show leakage in mA though readings carry amperes', () => {
    expect(plain(channelValue('leak', 0.0019))).toBe('1.9 mA');
    expect(plain(channelValue('rh', 71.2))).toBe('71 %RH');
  });
});

describe('evidence', () => {
  const line = (name: string, value: number | string | boolean | null): string => {
    const said = evidenceLine(name, value, 'America/Halifax', Date.parse('2026-01-10T12:00:00Z'));
    return plain(`${said.label}: ${said.value}`);
  };

  it('takes the unit from the end of the name', () => {
    expect(line('leakageAboveBaselineMilliamps', 12.4)).toBe('Leakage above baseline: 12.4 mA');
    expect(line('leakageRiseMilliampsPerHour', 3)).toBe('Leakage rise: 3.0 mA per hour');
    expect(line('phaseAAmps', 17.21)).toBe('Phase A: 17.2 A');
    expect(line('refusedReadings', 21)).toBe('Refused readings: 21');
  });

  it('tells times from durations', () => {
    expect(line('sinceMs', Date.parse('2026-01-10T04:12:00Z'))).toBe('Since: today 00:12');
    expect(line('wetForMs', 7_200_000)).toBe('Wet for: 2 h');
  });

  it('says what is not known, and yes and no in words', () => {
    expect(line('idleLeakageMilliamps', null)).toBe('Idle leakage: not known');
    expect(line('plateWet', true)).toBe('Plate wet: yes');
    expect(line('nodeSupply', 'battery')).toBe('Node supply: battery');
  });
});

describe('words for codes', () => {
  it('never show a code, also not one that is new', () => {
    expect(causeWords('open-fuse')).toBe('Fuse open');
    expect(causeWords('some-new-cause')).toBe('some new cause');
  });

  it('give probabilities out of a hundred and never certainty', () => {
    expect([0.001, 0.86, 0.999].map(likelihood)).toEqual([
      'less than 1 in 100',
      '86 in 100',
      'more than 99 in 100',
    ]);
  });
});

describe('failures', () => {
  it('say what was wrong with the input, field by field', () => {
    const errors = [{ path: 'password', message: 'must be 12 to 256 characters' }];
    expect(failureOf(400, { detail: 'x', errors }).message).toBe(
      'Not accepted: password must be 12 to 256 characters.',
    );
    expect(failureOf(400, { detail: 'from must be before to' }).message).toBe(
      'from must be before to.',
    );
  });

  it.each([0, 401, 403, 404, 409, 418, 500])('of status %i say what to do', (status) => {
    const failure = failureOf(status, {});
    expect(failure.message).toMatch(/[.]$/);
    expect(failure.advice).toMatch(/[.]$/);
  });

  it('take title and detail of the API where they say it better', () => {
    const title = 'The name and password do not fit';
    const failure = failureOf(401, { title, detail: 'Check both and try again.' });
    expect([failure.message, failure.advice]).toEqual([`${title}.`, 'Check both and try again.']);
  });

  it('name the wait when there is one', () => {
    expect(failureOf(429, { retryAfterSeconds: 20 }).advice).toContain('20 seconds');
  });
});
