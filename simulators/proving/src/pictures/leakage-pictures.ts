import { type Chart, COLOURS, type Mark, type Point, sampled, thinned } from './chart.ts';
import {
  dayOf,
  playStory,
  STORY_START_MS,
  type Story,
  type StoryPlan,
  type Told,
} from './story.ts';

const DAY_MS = 86_400_000;
const RUNNING_AMPS = 1.5;
const TRACK_FROM_DAY = 18;

const TRACK: StoryPlan = {
  climate: 'windy-harbour',
  days: 70,
  seasonDay: 300,
  seed: 11,
  script: {
    faults: [
      {
        kind: 'track-to-ground',
        phase: 'c',
        fromMs: STORY_START_MS + TRACK_FROM_DAY * DAY_MS,
        depositMicrosiemens: 11,
        wettingPointPercent: 62,
        carbonAtStart: 0.02,
        carbonPerKilojoule: 0.00025,
        flashOvers: [
          {
            notBeforeMs: STORY_START_MS + 60 * DAY_MS,
            aboveMilliamps: 14,
            opens: ['c'],
          },
        ],
      },
    ],
    fusesSwappedAfterMs: null,
  },
};

const LOAD: StoryPlan = {
  ...TRACK,
  days: 40,
  script: {
    faults: [
      {
        kind: 'load-insulation',
        contactor: 0,
        phase: 'b',
        fromMs: STORY_START_MS + TRACK_FROM_DAY * DAY_MS,
        milliamps: 6,
        milliampsPerWeek: 2,
      },
    ],
  },
};

/** Leakage and humidity over weeks, what is learned of wet and dry days, and when it was said. */
export function growthPictures(): Readonly<Record<string, Chart>> {
  const track = playStory(TRACK);
  return {
    'track-over-weeks': growth(track),
    'leakage-against-humidity': againstHumidity(track),
    'rest-against-running': restAndRunning(track, playStory(LOAD)),
  };
}

function growth({ told, alarms, conditions, truth }: Story): Chart {
  const leakage = told.flatMap(({ day, channels }): Point[] =>
    channels.leak === undefined || !atRest(channels) ? [] : [[day, 1000 * channels.leak]],
  );
  const learned = (of: 'dryDay' | 'wetDay'): Point[] =>
    conditions.flatMap(({ day, condition }): Point[] => {
      const estimate = condition.leakageOutlook?.[of];
      return estimate == null ? [] : [[day, estimate.milliamps]];
    });
  const steps: Mark[] = alarms
    .filter(({ kind }) => kind === 'leakage')
    .flatMap(({ priorities }) => priorities)
    .filter((step, index, all) => {
      return all.findIndex(({ priority }) => priority === step.priority) === index;
    })
    .map(({ priority, sinceMs }) => ({
      x: dayOf(sinceMs),
      text: priority,
      colour: COLOURS.other,
    }));
  const failed = truth.faults.flatMap(({ failureMs }): Mark[] =>
    failureMs === null ? [] : [{ x: dayOf(failureMs), text: 'fuse opens', colour: '#222' }],
  );
  const begins: Mark = { x: TRACK_FROM_DAY, text: 'track begins', colour: COLOURS.quiet };
  const humidity = told.flatMap(({ day, channels }): Point[] =>
    channels.rh === undefined ? [] : [[day, channels.rh]],
  );
  const most = Math.max(...leakage.map(([, value]) => value));
  return {
    title: 'A track to ground over ten weeks: leakage, what is learned, and when it was told',
    xLabel: 'days (simulated)',
    from: 0,
    to: TRACK.days,
    panels: [
      {
        label: 'leakage, mA',
        from: 0,
        to: Math.ceil(most / 5) * 5,
        series: [
          line('leakage at rest', COLOURS.leakage, thinned(leakage, 900)),
          line('dry day, learned', COLOURS.quiet, sampled(learned('dryDay'), 200)),
          line('wet day, learned', COLOURS.learned, sampled(learned('wetDay'), 200)),
        ],
        marks: [begins, ...steps, ...failed],
        height: 260,
      },
      {
        label: 'humidity inside, %RH',
        from: 0,
        to: 100,
        series: [line('', COLOURS.humidity, thinned(humidity, 500))],
        height: 110,
      },
    ],
  };
}

function line(name: string, colour: string, points: readonly Point[]) {
  return { name, colour, as: 'line', points } as const;
}

/** Leakage at rest over the film's humidity: air's vapour at the plate's temperature. */
function againstHumidity({ told }: Story): Chart {
  const spell = (from: number, to: number, wetter: boolean): Point[] => {
    const own = told.filter(({ day, channels }) => day >= from && day < to && atRest(channels));
    const points: Point[] = [];
    for (const [index, { channels }] of own.entries()) {
      const before = own[index - 90]?.channels.rh;
      const { rh, leak } = channels;
      if (before === undefined || rh === undefined || leak === undefined) continue;
      if (rh > before === wetter) points.push([rh, 1000 * leak]);
    }
    return sampled(points, 320);
  };
  const dots = (name: string, colour: string, points: readonly Point[]) =>
    ({ name, colour, as: 'dots', points }) as const;
  const panel = (label: string, from: number, to: number, most: number) => ({
    label,
    from: 0,
    to: most,
    series: [
      dots('growing wetter', COLOURS.humidity, spell(from, to, true)),
      dots('drying', COLOURS.other, spell(from, to, false)),
    ],
    height: 150,
  });
  return {
    title: 'Leakage at rest against humidity: healthy, young track, grown track',
    xLabel: 'humidity inside, %RH (simulated)',
    from: 30,
    to: 100,
    panels: [
      panel('healthy, mA', 0, TRACK_FROM_DAY, 3),
      panel('young, mA', TRACK_FROM_DAY, TRACK_FROM_DAY + 12, 12),
      panel('grown, mA', 46, 60, 30),
    ],
  };
}

function atRest({ ia, ib, ic }: Told['channels']): boolean {
  return ia !== undefined && ib !== undefined && ic !== undefined
    ? Math.max(ia, ib, ic) < RUNNING_AMPS
    : false;
}

/** The same at rest and while running: a line-side leak is in both, one of a load only in one. */
function restAndRunning(track: Story, load: Story): Chart {
  const points = ({ told }: Story, fromDay: number, rest: boolean): Point[] =>
    sampled(
      told.flatMap(({ day, channels }): Point[] => {
        const { rh, leak } = channels;
        if (day < fromDay || day > fromDay + 15 || rh === undefined || leak === undefined)
          return [];
        return atRest(channels) === rest ? [[rh, 1000 * leak]] : [];
      }),
      450,
    );
  const panel = (label: string, story: Story, fromDay: number, most: number) => ({
    label,
    from: 0,
    to: most,
    series: [
      {
        name: 'running',
        colour: COLOURS.other,
        as: 'dots',
        points: points(story, fromDay, false),
      } as const,
      {
        name: 'at rest',
        colour: COLOURS.humidity,
        as: 'dots',
        points: points(story, fromDay, true),
      } as const,
    ],
  });
  return {
    title: 'Line side or load side: the same humidity, at rest and while running',
    xLabel: 'humidity inside, %RH (simulated)',
    from: 30,
    to: 100,
    panels: [
      panel('track on the line side, mA', track, 36, 20),
      panel('winding on the load side, mA', load, 25, 20),
    ],
  };
}
