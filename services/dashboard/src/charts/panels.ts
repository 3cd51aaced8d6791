/** Which channels share a strip, and how each line is told from the others without its colour. */

export interface Line {
  /** Channel name, `weather.` before those of the outdoor station. */
  readonly channel: string;
  readonly scaleKey: string;
  /** A token of style/tokens.css. */
  readonly ink: string;
  readonly width: number;
  /** Dash and gap lengths in CSS px; empty is solid. */
  readonly dash: readonly number[];
}

export interface Panel {
  readonly key: string;
  readonly title: string;
  /** Scale of the left and of the right axis. */
  readonly left: string;
  readonly right: string | null;
  readonly lines: readonly Line[];
}

function line(
  channel: string,
  scaleKey: string,
  ink: string,
  width: number,
  dash: readonly number[] = [],
): Line {
  return { channel, scaleKey, ink, width, dash };
}

const PANELS: readonly Panel[] = [
  {
    key: 'leakage',
    title: 'Leakage to ground, mA',
    left: 'mA',
    right: null,
    lines: [
      line('leak', 'mA', '--ink-leak', 2),
      line('leakr', 'mA', '--ink-second', 1.5, [6, 3]),
      line('leakmax', 'mA', '--ink-third', 1, [2, 3]),
    ],
  },
  {
    key: 'moisture',
    title: 'Humidity, % (left), and temperature, °C (right)',
    left: '%RH',
    right: '°C',
    lines: [
      line('rh', '%RH', '--ink-water', 2),
      line('weather.rh', '%RH', '--ink-water', 1, [2, 3]),
      line('t', '°C', '--ink-warm', 1.5, [8, 3]),
      line('tp', '°C', '--ink-plate', 1.5, [8, 3, 2, 3]),
      line('weather.t', '°C', '--ink-warm', 1, [2, 3]),
    ],
  },
  {
    key: 'currents',
    title: 'Phase currents on the line side, A',
    left: 'A',
    right: null,
    lines: [
      line('ia', 'A', '--ink-first', 1.5),
      line('ib', 'A', '--ink-second', 1.5, [7, 3]),
      line('ic', 'A', '--ink-third', 1.5, [2, 3]),
    ],
  },
  {
    key: 'voltages',
    title: 'Voltages between lines, V',
    left: 'V',
    right: null,
    lines: [
      line('vab', 'V', '--ink-first', 1.5),
      line('vbc', 'V', '--ink-second', 1.5, [7, 3]),
      line('vca', 'V', '--ink-third', 1.5, [2, 3]),
    ],
  },
];

const all = PANELS.flatMap(({ lines }) => lines.map(({ channel }) => channel));

export const UNIT_CHANNELS: readonly string[] = all.filter((name) => !name.startsWith('weather.'));
export const WEATHER_CHANNELS: readonly string[] = all
  .filter((name) => name.startsWith('weather.'))
  .map((name) => name.slice('weather.'.length));

/** The panels that have data, each with only the lines that have data. */
export function panelsWith(channels: ReadonlySet<string>): readonly Panel[] {
  return PANELS.map((panel) => ({
    ...panel,
    lines: panel.lines.filter(({ channel }) => channels.has(channel)),
  })).filter(({ lines }) => lines.length > 0);
}
