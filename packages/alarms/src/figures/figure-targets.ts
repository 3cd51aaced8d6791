/** What a standard asks of a figure, in the figure's unit. */
export interface FigureTarget {
  /** At most so much, or about so much. */
  readonly kind: 'at-most' | 'about';
  readonly value: number;
  /** Still manageable, where the standard says so. */
  readonly manageable: number | null;
  readonly source: string;
}

export type TargetedFigure =
  | 'alarmsPerDay'
  | 'alarmsPerTenMinutes'
  | 'peakPerTenMinutes'
  | 'spansOverTen'
  | 'timeFlooded'
  | 'mostFrequent'
  | 'chattering'
  | 'stale'
  | 'routineShare'
  | 'urgentShare'
  | 'emergencyShare';

const TABLE = 'IEC 62682:2014, table of performance metrics, per operator position';

function atMost(value: number, source: string, manageable: number | null = null): FigureTarget {
  return { kind: 'at-most', value, manageable, source };
}

function about(value: number): FigureTarget {
  const source = 'EEMUA 191 and IEC 62682, 80/15/5 of low/medium/high';
  return { kind: 'about', value, manageable: null, source };
}

/**
 * Published targets. They are meant for one operator position; beside a fleet they are a measure.
 */
export const FIGURE_TARGETS: Readonly<Record<TargetedFigure, FigureTarget>> = {
  alarmsPerDay: atMost(144, `${TABLE}; ANSI/ISA-18.2 prints about 150 and 300, from memory`, 288),
  alarmsPerTenMinutes: atMost(1, TABLE, 2),
  peakPerTenMinutes: atMost(10, TABLE),
  spansOverTen: atMost(0.01, `${TABLE}: less than 1 %`),
  timeFlooded: atMost(0.01, `${TABLE}: less than 1 %; begin and end of a flood from memory`),
  mostFrequent: atMost(0.01, `${TABLE}: less than 1 % to 5 %`, 0.05),
  chattering: atMost(0, `${TABLE}: none; three within a minute from memory`),
  stale: atMost(4, `${TABLE}: fewer than 5 on any day; standing over 24 h from memory`),
  routineShare: about(0.8),
  urgentShare: about(0.15),
  emergencyShare: about(0.05),
};
