import { parseRotaFile, type Rota } from '@lineside/oncall';

/** Rota files for tests. Every person and place is invented. */

/** The least that a rota file may state. */
export const LEAST = `people:
  - { id: ana, name: Ana Reyes, contacts: [ana-phone] }
office: { contacts: [office-desk] }
teams:
  - id: north
    name: North crew
    zone: America/Halifax
    first:
      - from: 2026-01-05
        handOver: { weekday: monday, time: "08:00" }
        people: [ana]
`;

/** Two teams, both calls, holidays, and whatever changes a test puts in. */
export const HARBOUR = `revision: 7
people:
  - { id: ana, name: Ana Reyes, contacts: [ana-phone, ana-mail] }
  - { id: ben, name: Ben Okafor, contacts: [ben-phone] }
  - { id: cyd, name: Cyd Larsen, contacts: [cyd-phone] }
  - { id: dov, name: Dov Peretz, contacts: [dov-phone] }
office: { name: Front desk, contacts: [office-desk, office-mail] }
holidays:
  - id: public
    days:
      - { name: Spring holiday, date: 2026-04-03, lastDate: 2026-04-06 }
      - { name: Summer day, date: 2026-07-01 }
teams:
  - id: north
    name: North crew
    zone: America/Halifax
    sites: [harbour-mall, pier-nine]
    first:
      - from: 2026-01-05
        handOver: { weekday: monday, time: "08:00" }
        people: [ana, ben, cyd]
    second: { offset: 1 }
    holidays:
      - { calendar: public, startsAt: "08:00", first: [dov, ana], second: [cyd] }
    changes: []
  - id: south
    name: South crew
    zone: Europe/Berlin
    takesOtherSites: true
    members: [dov, cyd]
    first:
      - from: 2026-01-02
        handOver: { weekday: friday, time: "17:00" }
        turnWeeks: 2
        people: [dov, cyd]
`;

/** The same with these covers and swaps of team north, a line of YAML each. */
export function harbourWith(...changes: readonly string[]): Rota {
  const lines = changes.map((change) => `      - { ${change} }\n`).join('');
  const text = HARBOUR.replace('    changes: []\n', `    changes:\n${lines}`);
  return parseRotaFile(changes.length === 0 ? HARBOUR : text, 'rota.yaml');
}

/** One team with one rotation. */
export function rotaOf(zone: string, from: string, handOver: string, more = ''): Rota {
  return parseRotaFile(
    `people:
  - { id: ana, name: Ana, contacts: [a] }
  - { id: ben, name: Ben, contacts: [b] }
  - { id: cyd, name: Cyd, contacts: [c] }
office: { contacts: [desk] }
teams:
  - id: crew
    name: Crew
    zone: ${zone}
    first:
      - { from: ${from}, handOver: { ${handOver} }, people: [ana, ben, cyd]${more} }
`,
    'rota.yaml',
  );
}

/** `2026-01-05T12:00Z` in milliseconds. */
export function at(utc: string): number {
  const ms = Date.parse(utc);
  if (Number.isNaN(ms)) throw new Error(`${utc} is no time`);
  return ms;
}
