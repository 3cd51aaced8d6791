import { saturationOverWaterPascals, unbalancePercent } from '@lineside/physics';
import type { ChannelValues } from '@lineside/readings';
import type { CaseOutcome } from '../running/run-case.ts';
import { scoreUnits } from '../scoring/score.ts';
import { sweepResult } from '../table/sweep-table.ts';
import { unitsOf } from '../table/warning-table.ts';
import { type Chart, COLOURS, type Point, sampled, thinned } from './chart.ts';
import { playStory, STORY_START_MS, type Story } from './story.ts';

const DAY_MS = 86_400_000;

/** Vapour inside over outside: humid weather follows, water that got in stands above. */
export function vapourPicture(): Chart {
  const plan = { climate: 'rainy-valley', days: 21, seasonDay: 280, seed: 5 } as const;
  const opening = {
    facingDegrees: 120,
    catchSquareMetres: 0.015,
    drainBlocked: true,
    place: 'conduit-entry',
  } as const;
  const tight = playStory({ ...plan, script: {} });
  const leaky = playStory({ ...plan, script: { faults: [{ kind: 'water-ingress', opening }] } });
  const panel = (label: string, story: Story, colour: string) => ({
    label,
    from: -200,
    to: 800,
    series: [
      { name: '', colour, as: 'line', points: thinned(excess(story), 600) } as const,
      {
        name: "the sensors' error",
        colour: COLOURS.quiet,
        as: 'dashes',
        points: [
          [0, 95],
          [plan.days, 95],
        ],
      } as const,
    ],
    height: 150,
  });
  return {
    title: 'Vapour pressure inside above outside, in the same weather',
    xLabel: 'days (simulated)',
    from: 0,
    to: plan.days,
    panels: [
      panel('tight, Pa', tight, COLOURS.humidity),
      panel('lets water in, Pa', leaky, COLOURS.leakage),
    ],
  };
}

function excess({ told }: Story): Point[] {
  return told.flatMap(({ day, channels, outside }): Point[] => {
    const inside = vapour(channels);
    const without = vapour(outside);
    return inside === null || without === null ? [] : [[day, inside - without]];
  });
}

function vapour({ rh, t }: ChannelValues): number | null {
  return rh === undefined || t === undefined ? null : (rh / 100) * saturationOverWaterPascals(t);
}

/** Unbalance of each stage, as a pole wears, an outlet is used, and a fuse opens. */
export function phasePicture(): Chart {
  const from = (day: number): number => STORY_START_MS + day * DAY_MS;
  const story = playStory({
    climate: 'humid-coast',
    days: 42,
    seasonDay: 220,
    seed: 3,
    script: {
      faults: [
        {
          kind: 'worn-pole',
          contactor: 0,
          phase: 'b',
          fromMs: from(14),
          untilMs: from(34),
          finalPercent: 18,
        },
        { kind: 'open-fuse', phase: 'c', notBeforeMs: from(39) },
      ],
      lookAlikes: [
        { kind: 'service-outlet', phases: ['a'], amps: 6, fromMs: from(6), toMs: from(10) },
      ],
    },
  });
  const stage = (least: number, most: number): Point[] =>
    story.told.flatMap(({ day, channels: { ia, ib, ic } }): Point[] => {
      if (ia === undefined || ib === undefined || ic === undefined) return [];
      const largest = Math.max(ia, ib, ic);
      return largest < least || largest >= most ? [] : [[day, unbalancePercent(ia, ib, ic)]];
    });
  const dots = (name: string, colour: string, points: readonly Point[]) =>
    ({ name, colour, as: 'dots', points: sampled(points, 700) }) as const;
  const mark = (x: number, text: string) => ({ x, text, colour: COLOURS.quiet });
  return {
    title: 'Unbalance of the phase currents by running stage',
    xLabel: 'days (simulated)',
    from: 0,
    to: 42,
    panels: [
      {
        label: 'NEMA unbalance, %',
        from: 0,
        to: 40,
        series: [
          dots('fans alone', COLOURS.humidity, stage(2, 9)),
          dots('compressor and fans', COLOURS.leakage, stage(9, 99)),
        ],
        marks: [
          mark(6, 'service outlet in use'),
          mark(14, 'pole wears'),
          mark(39, 'fuse opens: 100 %'),
        ],
        height: 280,
      },
    ],
  };
}

/** Stated probability of the leading cause against how often it was right. */
export function reliabilityPicture(outcomes: readonly CaseOutcome[], judging: string): Chart {
  const { causes } = scoreUnits(unitsOf(outcomes, judging));
  const bins = causes.bins.flatMap(({ stated, right }) =>
    stated === null || right.of === 0 ? [] : [{ stated, right }],
  );
  const bars = bins.flatMap(({ stated, right }) => [
    {
      name: '',
      colour: COLOURS.quiet,
      as: 'line' as const,
      points: [
        [100 * stated, 100 * right.low],
        [100 * stated, 100 * right.high],
      ] as const,
    },
  ]);
  return {
    title: `Can the stated probability be believed? ${causes.judgements} judgements`,
    xLabel: 'stated of the leading cause, %',
    from: 0,
    to: 100,
    panels: [
      {
        label: 'was right, %',
        from: 0,
        to: 100,
        series: [
          {
            name: 'as it should be',
            colour: COLOURS.quiet,
            as: 'dashes',
            points: [
              [0, 0],
              [100, 100],
            ],
          },
          ...bars,
          {
            name: 'as it was, with 95 % limits',
            colour: COLOURS.learned,
            as: 'line',
            points: bins.map(({ stated, right }) => [100 * stated, (100 * right.hits) / right.of]),
          },
        ],
        height: 320,
      },
    ],
  };
}

/** Rivals' curves with us, by leakage alarms; null when the run had no sweep. */
export function sweepPicture(outcomes: readonly CaseOutcome[], judging: string): Chart | null {
  const result = sweepResult(outcomes, judging);
  if (result === null) return null;
  const colours = [COLOURS.humidity, COLOURS.other, COLOURS.learned];
  const most = 10;
  const curves = Object.entries(result.curves).map(([name, curve], index) => ({
    name,
    colour: colours[index] ?? COLOURS.quiet,
    as: 'line' as const,
    points: curve
      .map((one): Point => [Math.min(most, one.falsePerUnitYear), 100 * one.share])
      .toSorted((one, other) => one[0] - other[0]),
  }));
  const { ours } = result;
  return {
    title: 'Tracks urgent a day before, against urgent leakage alarms of healthy units',
    xLabel: 'urgent leakage alarms a healthy unit-year (simulated)',
    from: 0,
    to: most,
    panels: [
      {
        label: 'urgent 24 h before, %',
        from: 0,
        to: 100,
        series: [
          ...curves,
          {
            name: judging,
            colour: COLOURS.leakage,
            as: 'dots',
            points: [[ours.falsePerUnitYear, 100 * ours.share]],
          },
        ],
        marks: [{ x: ours.falsePerUnitYear, text: judging, colour: COLOURS.leakage }],
        height: 300,
      },
    ],
  };
}
