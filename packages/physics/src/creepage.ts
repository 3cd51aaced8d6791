import { PhysicsRangeError, requireAboveZero, requireWithin } from './physics-range-error.ts';

/**
 * Pollution degree: 2 is non-conductive dirt with condensation now and then, 3 is conductive dirt
 * or dirt that condensation makes so, as in the control box of a rooftop unit.
 */
export type PollutionDegree = 2 | 3;

/** By comparative tracking index: the lower the group, the less easily a surface chars. */
export type MaterialGroup = 'I' | 'II' | 'IIIa' | 'IIIb';

/** What a voltage between two rows gives: the next row up, or a value straight between both. */
export type BetweenRows = 'next-row' | 'straight-line';

/** RMS voltage; then mm at degree 2 in groups I, II, III and at degree 3 in groups I, II, III. */
type CreepageRow = readonly [number, number, number, number, number, number, number];

const ROWS: readonly CreepageRow[] = [
  [125, 0.75, 1.05, 1.5, 1.9, 2.1, 2.4],
  [160, 0.8, 1.1, 1.6, 2, 2.2, 2.5],
  [200, 1, 1.4, 2, 2.5, 2.8, 3.2],
  [250, 1.25, 1.8, 2.5, 3.2, 3.6, 4],
  [320, 1.6, 2.2, 3.2, 4, 4.5, 5],
  [400, 2, 2.8, 4, 5, 5.6, 6.3],
  [500, 2.5, 3.6, 5, 6.3, 7.1, 8],
  [630, 3.2, 4.5, 6.3, 8, 9, 10],
  [800, 4, 5.6, 8, 10, 11, 12.5],
  [1000, 5, 7.1, 10, 12.5, 14, 16],
];

/** Group IIIb is not recommended above this voltage at degree 3 (from memory). */
const HIGHEST_IIIB_VOLTS = 630;

function columnOf(degree: PollutionDegree, group: MaterialGroup): 1 | 2 | 3 | 4 | 5 | 6 {
  if (group === 'I') return degree === 2 ? 1 : 4;
  if (group === 'II') return degree === 2 ? 2 : 5;
  return degree === 2 ? 3 : 6;
}

/**
 * Least creepage distance over a surface between parts at a voltage to each other.
 *
 * Input:   rmsVolts above 0 to 1000 V, working voltage; pollution degree 2 or 3; material group;
 *          what to do between rows, the next row up unless stated.
 * Output:  mm, never falling with the voltage. Up to 125 V the row of 125 V, which is more than
 *          the standard asks below it.
 * Source:  IEC 60664-1:2020 table F.5 (basic insulation, not printed wiring), from two open
 *          copies that agree. The standard allows a straight line between rows; both
 *          copies take the next row.
 * Errors:  PhysicsRangeError PHYSICS_VOLTAGE_RANGE; PHYSICS_NOT_DEFINED for group IIIb at degree 3
 *          above 630 V, which the standard does not recommend (from memory).
 * Example: creepageMillimetres(480, 3, 'IIIa') // 8
 */
export function creepageMillimetres(
  rmsVolts: number,
  degree: PollutionDegree,
  group: MaterialGroup,
  between: BetweenRows = 'next-row',
): number {
  requireAboveZero(rmsVolts, 1000, 'RMS voltage in V', 'PHYSICS_VOLTAGE_RANGE');
  if (group === 'IIIb' && degree === 3 && rmsVolts > HIGHEST_IIIB_VOLTS) {
    throw new PhysicsRangeError(
      'PHYSICS_NOT_DEFINED',
      `group IIIb is not for pollution degree 3 above ${HIGHEST_IIIB_VOLTS} V, got ${rmsVolts}; ` +
        'take a better material',
    );
  }
  const column = columnOf(degree, group);
  let lowerVolts = 0;
  let lowerMillimetres = 0;
  for (const row of ROWS) {
    const volts = row[0];
    const millimetres = row[column];
    if (rmsVolts <= volts) {
      if (between === 'next-row' || lowerVolts === 0) return millimetres;
      const share = (rmsVolts - lowerVolts) / (volts - lowerVolts);
      return lowerMillimetres + share * (millimetres - lowerMillimetres);
    }
    lowerVolts = volts;
    lowerMillimetres = millimetres;
  }
  return lowerMillimetres;
}

/**
 * Material group of an insulating material from its comparative tracking index.
 *
 * Input:   trackingIndex, CTI of IEC 60112, 100 to 1000 V.
 * Output:  I from 600, II from 400, IIIa from 175, IIIb from 100.
 * Source:  IEC 60664-1, material groups.
 * Errors:  PhysicsRangeError PHYSICS_TRACKING_INDEX_RANGE; below 100 a material has no group.
 */
export function materialGroupOf(trackingIndex: number): MaterialGroup {
  requireWithin(
    trackingIndex,
    100,
    1000,
    'comparative tracking index in V',
    'PHYSICS_TRACKING_INDEX_RANGE',
  );
  if (trackingIndex >= 600) return 'I';
  if (trackingIndex >= 400) return 'II';
  return trackingIndex >= 175 ? 'IIIa' : 'IIIb';
}
