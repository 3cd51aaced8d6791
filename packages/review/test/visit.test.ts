import { describe, expect, it } from 'vitest';
import { visitFor } from '../src/visit.ts';
import { episode, HOUR_MS, reviewUnit, START_MS } from './invented.ts';

describe('a visit', () => {
  it('looks for water where a unit was wetted by dew and by rain, both nearly sure', () => {
    const { checks } = visitFor({
      alarms: [],
      episodes: [
        episode('harbour', 'rtu-2', START_MS, { source: 'condensation' }),
        episode('harbour', 'rtu-2', START_MS + 6 * HOUR_MS, { source: 'water-ingress' }),
      ],
      source: 'water-ingress',
      excessMilliamps: 1.8,
      fusesLostAtLeast: 0,
      plate: reviewUnit('harbour', 'rtu-2').plate,
    });
    expect(checks[0]).toMatch(/gasket|water/);
    expect(checks.join()).not.toMatch(/disconnect/);
  });
});
