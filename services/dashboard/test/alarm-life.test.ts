import { describe, expect, it } from 'vitest';
import type { FigureTarget, Precision, Verdict } from '../src/api/types.ts';
import { holdEnds } from '../src/order/hold-ends.ts';
import { needOfAlarm } from '../src/order/urgency.ts';
import { formatRoute, parseRoute } from '../src/routes/route.ts';
import {
  alarmPointOf,
  comparison,
  figureValue,
  partOf,
  precisionWords,
  targetWords,
} from '../src/words/figures.ts';
import { setAsideWords } from '../src/words/set-aside.ts';
import { CAUSE_CHOICES, findingWords, foundCause } from '../src/words/verdicts.ts';
import { anAlarm } from './invented.ts';

const HALIFAX = 'America/Halifax';
const DAY_MS = 86_400_000;
const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

const TARGET: FigureTarget = { kind: 'at-most', value: 144, manageable: 288, source: 'a table' };

describe('the ends of a hold', () => {
  const nowMs = Date.UTC(2026, 2, 7, 15, 30);

  it('keep within what the server takes, also when the clocks change in between', () => {
    const mostDays = { maintenance: 30, 'out-of-service': 180 } as const;
    for (const kind of ['maintenance', 'out-of-service'] as const) {
      for (const { atMs } of holdEnds(kind, nowMs, HALIFAX)) {
        expect(atMs).toBeGreaterThan(nowMs);
        expect(atMs - nowMs).toBeLessThan(mostDays[kind] * DAY_MS);
      }
    }
  });

  it('are mornings of the site where they are days away', () => {
    const [, , tomorrow] = holdEnds('maintenance', nowMs, HALIFAX);
    expect(tomorrow?.words).toBe('tomorrow morning, until Sun 8 Mar 07:00');
    expect(tomorrow?.atMs).toBe(Date.UTC(2026, 2, 8, 10));
  });
});

describe('an alarm that is set aside', () => {
  it('says by which alarm of its unit, and why', () => {
    expect(setAsideWords('while supply-loss stands (0f3a): no phase carries current')).toBe(
      'It asks nobody while the supply lost alarm of this unit stands: no phase carries current.',
    );
    expect(setAsideWords('something else')).toBe('something else');
  });

  it('stands below all that ask somebody', () => {
    expect(needOfAlarm(anAlarm({ state: 'suppressed' }))).toBe('shelved');
    expect(needOfAlarm(anAlarm({ state: 'out-of-service' }))).toBe('shelved');
  });
});

describe('what was found of an alarm', () => {
  const verdict: Verdict = {
    ...{ alarm: 'one', verdict: 'true', found: 'wet gasket', cause: null, by: 'ada' },
    time: '2026-01-10T04:12:00Z',
  };

  it('is said with the cause where it is known', () => {
    expect(findingWords(verdict)).toBe('True: wet gasket.');
    expect(findingWords({ ...verdict, found: 'Wet gasket!', cause: 'water-ingress' })).toBe(
      'True: Wet gasket! Cause as found: water getting into the compartment.',
    );
    expect(findingWords({ ...verdict, verdict: 'unclear', found: '' })).toBe('Unclear.');
  });

  it('takes no cause but those that are offered', () => {
    for (const { value } of CAUSE_CHOICES) expect(foundCause(value) ?? '').toBe(value);
    expect(foundCause('magic')).toBeNull();
  });
});

describe('a figure of the alarm system', () => {
  it('has its unit, and few decimals', () => {
    expect(plain(figureValue(0.0123, 'share'))).toBe('1.2 %');
    expect(figureValue(0.0005, 'alarms')).toBe('under 0.01');
    expect(figureValue(12, 'alarms')).toBe('12');
    expect(figureValue(1.5, 'alarms')).toBe('1.50');
    expect(plain(figureValue(130, 'min'))).toBe('2 h');
    expect(figureValue(null, 'min')).toBe('none');
  });

  it('is compared with what is published, in words', () => {
    expect(targetWords(TARGET, 'alarms')).toBe('at most 144, manageable up to 288');
    expect(comparison(144, TARGET)).toEqual({ words: 'meets it', isMet: true });
    expect(comparison(288, TARGET)).toEqual({ words: 'still manageable', isMet: true });
    expect(comparison(289, TARGET).isMet).toBe(false);
    const about: FigureTarget = { ...TARGET, kind: 'about', value: 0.8, manageable: null };
    expect(plain(targetWords(about, 'share'))).toBe('about 80 %');
    expect(comparison(0.77, about).isMet).toBe(true);
    expect(plain(comparison(0.5, about).words)).toBe('30 % less');
    expect(targetWords({ ...TARGET, value: 0, manageable: null }, 'alarm points')).toBe('none');
  });

  it('has its place on the page by its name', () => {
    expect(partOf('alarms per day, mean')).toBe('load');
    expect(partOf('share of the most frequent 10')).toBe('behaviour');
    expect(partOf('stale on the worst day')).toBe('behaviour');
    expect(partOf('share of urgent alarms')).toBe('priority');
    expect(partOf('most frequent 1: harbour-mall rtu-01 leakage')).toBe('frequent');
    expect(alarmPointOf('most frequent 1: harbour-mall rtu-01 leakage')).toEqual({
      ...{ site: 'harbour-mall', unit: 'rtu-01', kind: 'leakage' },
    });
    expect(alarmPointOf('stale')).toBeNull();
  });

  it('tells a measured share with its bounds, and when nobody can say', () => {
    const row: Precision['items'][number] = {
      ...{ name: 'leakage', true: 9, false: 1, unclear: 2, withoutVerdict: 30 },
      ...{ share: 0.9, shareLow: 0.596, shareHigh: 0.982 },
    };
    expect(plain(precisionWords(row))).toBe('90 %, likely between 60 % and 98 %');
    expect(precisionWords({ ...row, true: 0, false: 0, share: null })).toBe('not known');
  });
});

describe('the address of the figures', () => {
  it('keeps the days, a month where it says nothing', () => {
    expect(parseRoute('#/figures?days=7')).toEqual({ screen: 'figures', days: 7 });
    expect(parseRoute('#/figures?days=8')).toEqual({ screen: 'figures', days: 30 });
    for (const days of [7, 30, 90] as const) {
      expect(parseRoute(formatRoute({ screen: 'figures', days }))).toMatchObject({ days });
    }
  });
});
