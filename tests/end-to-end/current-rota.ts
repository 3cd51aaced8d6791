import { parseRotaFile, type Rota } from '@lineside/oncall';

const DAY_MS = 86_400_000;

/** Monday of the week before that of `nowMs`, by UTC: the rotation has begun in every zone. */
function mondayBefore(nowMs: number): string {
  const sinceMonday = (new Date(nowMs).getUTCDay() + 6) % 7;
  return new Date(nowMs - (sinceMonday + 7) * DAY_MS).toISOString().slice(0, 10);
}

/** A rota that holds now: Ben, then Cyd, then Dov, a week each. People and places are invented. */
export function currentRota(nowMs: number): Rota {
  const text = `people:
  - { id: ben, name: Ben Okafor, contacts: [desk] }
  - { id: cyd, name: Cyd Larsen, contacts: [desk] }
  - { id: dov, name: Dov Peretz, contacts: [desk] }
office: { name: Front desk, contacts: [desk] }
teams:
  - id: north
    name: North crew
    zone: America/Halifax
    sites: [harbour-mall]
    first:
      - from: ${mondayBefore(nowMs)}
        handOver: { weekday: monday, time: "08:00" }
        people: [ben, cyd, dov]
    second: { offset: 1 }
  - id: hill
    name: Hill crew
    zone: Europe/Berlin
    sites: [hilltop-school]
    first:
      - from: ${mondayBefore(nowMs)}
        handOver: { weekday: monday, time: "08:00" }
        people: []
`;
  return parseRotaFile(text, 'rota.yaml');
}
