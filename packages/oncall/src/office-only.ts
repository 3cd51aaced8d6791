import { escalation } from './escalation/policy-schema.ts';
import type { Rota } from './rota.ts';

/** What holds while there is no rota: no teams, so every alarm asks the office at once. */
export function officeOnlyRota(): Rota {
  return {
    revision: 0,
    people: [],
    office: { name: 'Office', contacts: [] },
    holidays: [],
    teams: [],
    escalation: escalation.parse(undefined),
  };
}
