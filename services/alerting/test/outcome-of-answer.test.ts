import { describe, expect, it } from 'vitest';
import { outcomeOfAnswer, parseRetryAfter } from '../src/channels/outcome-of-answer.ts';

const NOW_MS = Date.UTC(2031, 4, 3, 2);

describe('what an answer means', () => {
  it.each([
    [200, 'handed-over'],
    [204, 'handed-over'],
    [302, 'refused'],
    [400, 'refused'],
    [401, 'refused'],
    [404, 'refused'],
    [408, 'failed'],
    [410, 'gone'],
    [413, 'refused'],
    [425, 'failed'],
    [429, 'failed'],
    [500, 'failed'],
    [503, 'failed'],
    [101, 'refused'],
  ])('%i is %s', (status, outcome) => {
    const answer = { kind: 'answered', status, retryAfter: null } as const;
    expect(outcomeOfAnswer(answer, [410], NOW_MS).outcome).toBe(outcome);
  });
});

describe('Retry-After', () => {
  it.each([
    ['120', 120_000],
    ['0', 0],
    ['Sat, 03 May 2031 02:01:30 GMT', 90_000],
    ['Sat, 03 May 2031 01:00:00 GMT', 0],
    ['999999999', 900_000],
    ['soon', null],
    ['', null],
    ['-5', null],
    [null, null],
  ])('%j asks to wait %j ms', (text, waitMs) => {
    expect(parseRetryAfter(text, NOW_MS)).toBe(waitMs);
  });
});
