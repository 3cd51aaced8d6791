import { describe, expect, it } from 'vitest';
import { alarmFigures, FIGURE_TARGETS, figureRows, figuresCsv } from '../../src/index.ts';
import { burst, DAY_MS, FROM_MS } from './journal.ts';

const WINDOW = { fromMs: FROM_MS, toMs: FROM_MS + DAY_MS };
const FIGURES = alarmFigures(burst(12, FROM_MS, 1000), WINDOW);

describe('figureRows', () => {
  it('puts the published target and its source beside a figure', () => {
    const rows = figureRows(FIGURES);
    expect(rows.find(({ figure }) => figure === 'alarms per 10 min, peak')).toEqual({
      scope: 'fleet',
      name: '',
      figure: 'alarms per 10 min, peak',
      value: 12,
      unit: 'alarms',
      target: FIGURE_TARGETS.peakPerTenMinutes,
    });
  });

  it('shows every published target once for each scope', () => {
    for (const scope of ['fleet', 'site']) {
      const targets = figureRows(FIGURES).flatMap((row) =>
        row.scope === scope && row.target !== null ? [row.target] : [],
      );
      expect(new Set(targets)).toEqual(new Set(Object.values(FIGURE_TARGETS)));
      expect(targets).toHaveLength(Object.keys(FIGURE_TARGETS).length);
    }
  });

  it('144 a day are 1 in 10 minutes, and 80, 15 and 5 are all of them', () => {
    const { alarmsPerDay, alarmsPerTenMinutes, ...rest } = FIGURE_TARGETS;
    expect(alarmsPerDay.value / 144).toBe(alarmsPerTenMinutes.value);
    const shares = rest.routineShare.value + rest.urgentShare.value + rest.emergencyShare.value;
    expect(shares).toBeCloseTo(1, 12);
  });
});

describe('figuresCsv', () => {
  it('has a header, a line for each row, and quotes what holds a comma', () => {
    const lines = figuresCsv(FIGURES).split('\r\n');
    expect(lines[0]).toBe('scope,name,figure,value,unit,target,manageable,source');
    expect(lines).toHaveLength(figureRows(FIGURES).length + 2);
    expect(lines[2]).toBe(
      'fleet,,"alarms per day, mean",12,alarms,at most 144,288,' +
        '"IEC 62682:2014, table of performance metrics, per operator position; ' +
        'ANSI/ISA-18.2 prints about 150 and 300, from memory"',
    );
    expect(lines.find((line) => line.includes('share of urgent'))).toBe(
      'fleet,,share of urgent alarms,0,share,about 0.15,,' +
        '"EEMUA 191 and IEC 62682, 80/15/5 of low/medium/high"',
    );
  });
});
