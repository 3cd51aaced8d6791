import { parseRotaFile, type Rota } from '@lineside/oncall';

/** Two teams; every person and place is invented. The house's clock stands at 2026-01-15 12:00 UTC. */
export const ROTA: Rota = parseRotaFile(
  `people:
  - { id: ana, name: Ana Reyes, contacts: [ana-phone] }
  - { id: ben, name: Ben Okafor, contacts: [ben-phone] }
  - { id: cyd, name: Cyd Larsen, contacts: [cyd-phone] }
office: { name: Front desk, contacts: [office-desk] }
teams:
  - id: north
    name: North crew
    zone: America/Halifax
    sites: [harbour]
    first:
      - from: 2026-01-05
        handOver: { weekday: monday, time: "08:00" }
        people: [ana, ben, cyd]
    second: { offset: 1 }
  - id: mill-crew
    name: Mill crew
    zone: Europe/Berlin
    sites: [mill, old-barn]
    first:
      - from: 2026-01-05
        handOver: { weekday: monday, time: "08:00" }
        people: [cyd]
      - from: 2026-02-02
        handOver: { weekday: monday, time: "08:00" }
        people: []
`,
  'rota.yaml',
);
