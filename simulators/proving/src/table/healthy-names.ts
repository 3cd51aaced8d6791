import { COHORTS } from '../cohorts/cohorts.ts';

/** Names of the healthy cohorts, by what is beside their units. */
export function healthyNames(): {
  readonly plain: ReadonlySet<string>;
  readonly lookAlike: ReadonlySet<string>;
  readonly all: ReadonlySet<string>;
} {
  const of = (is: (healthy: 'plain' | 'look-alike' | null) => boolean): ReadonlySet<string> =>
    new Set(COHORTS.filter(({ healthy }) => is(healthy)).map(({ name }) => name));
  return {
    plain: of((healthy) => healthy === 'plain'),
    lookAlike: of((healthy) => healthy === 'look-alike'),
    all: of((healthy) => healthy !== null),
  };
}
