import { nextSteps, parseRotaFile, type Rota } from '@lineside/oncall';
import { describe, expect, it } from 'vitest';
import { at, LEAST } from './rota-texts.ts';

const WEEKEND = `escalation:
  routine:
    acknowledgeWithinMinutes: 60
    quietHours:
      windows:
        - { from: "20:00", to: "07:00" }
        - { days: [saturday, sunday], from: "00:00", to: "00:00" }
      digestAt: "07:30"
`;

function rotaWith(escalation: string, zone = 'America/Halifax'): Rota {
  const text = LEAST.replace('America/Halifax', zone).replace(
    '    zone:',
    '    sites: [pier]\n    zone:',
  );
  return parseRotaFile(text + escalation, 'rota.yaml');
}

/** When and in which form a routine alarm asks for the first time. */
function firstAsked(rota: Rota, raisedAt: string): string {
  const raisedAtMs = at(raisedAt);
  const alarm = {
    site: 'pier',
    priority: 'routine',
    state: 'unacknowledged',
    askingSinceMs: raisedAtMs,
    maintenanceUntilMs: null,
    handedOnAtMs: null,
    paged: [],
  } as const;
  const now = nextSteps(rota.escalation, rota, alarm, raisedAtMs);
  const dueAtMs = now.page === null ? now.dueAtMs : raisedAtMs;
  if (dueAtMs === null) throw new Error('it never asks');
  const page = now.page ?? nextSteps(rota.escalation, rota, alarm, dueAtMs).page;
  return `${page?.form} ${new Date(dueAtMs).toISOString().slice(5, 16)}`;
}

describe('quiet hours', () => {
  it.each([
    // Thursday, 2026-01-15, at -04:00.
    ['by day', '2026-01-15T15:00Z', 'page 01-15T15:00'],
    ['a minute before they begin', '2026-01-15T23:59Z', 'page 01-15T23:59'],
    ['as they begin', '2026-01-16T00:00Z', 'digest 01-16T11:30'],
    ['after midnight', '2026-01-16T05:00Z', 'digest 01-16T11:30'],
    ['as they end', '2026-01-16T11:00Z', 'page 01-16T11:00'],
    ['on Friday evening, over the weekend', '2026-01-17T01:00Z', 'digest 01-19T11:30'],
    ['on Saturday at noon', '2026-01-17T16:00Z', 'digest 01-19T11:30'],
    ['on Sunday, a minute before midnight', '2026-01-19T03:59Z', 'digest 01-19T11:30'],
  ])('hold what is raised %s', (_, raisedAt, expected) => {
    expect(firstAsked(rotaWith(WEEKEND), raisedAt)).toBe(expected);
  });

  it('follow the clock on the wall through both changes of clocks', () => {
    // America/Halifax, 2026-03-08 and 2026-11-01; from tzdata, `northamerica`.
    expect(firstAsked(rotaWith(''), '2026-03-07T05:00Z')).toBe('digest 03-07T11:30');
    expect(firstAsked(rotaWith(''), '2026-03-08T05:00Z')).toBe('digest 03-08T10:30');
    expect(firstAsked(rotaWith(''), '2026-10-31T05:00Z')).toBe('digest 10-31T10:30');
    expect(firstAsked(rotaWith(''), '2026-11-01T05:30Z')).toBe('digest 11-01T11:30');
  });

  it('may have their own zone', () => {
    const quiet =
      '{ zone: Asia/Kathmandu, windows: [ { from: "20:00", to: "07:00" } ], digestAt: "07:00" }';
    const rota = rotaWith(`escalation: { routine: { quietHours: ${quiet} } }\n`);
    expect(firstAsked(rota, '2026-01-15T20:00Z')).toBe('digest 01-16T01:15');
  });

  it('may be left out', () => {
    const rota = rotaWith('escalation: { routine: { quietHours: null } }\n');
    expect(firstAsked(rota, '2026-01-16T05:00Z')).toBe('page 01-16T05:00');
  });

  it('find the digest of the week after when the clocks leave out the only one', () => {
    // Europe/Berlin has no 02:30 on 2026-03-29; it comes as 03:30, in the quiet hours.
    const days = 'days: [monday, tuesday, wednesday, thursday, friday, saturday]';
    const quiet =
      `{ windows: [ { ${days}, from: "00:00", to: "00:00" }, ` +
      '{ days: [sunday], from: "00:00", to: "02:00" }, { days: [sunday], from: "03:00", to: "00:00" } ], ' +
      'digestAt: "02:30" }';
    const rota = rotaWith(`escalation: { routine: { quietHours: ${quiet} } }\n`, 'Europe/Berlin');
    expect(firstAsked(rota, '2026-03-28T12:00Z')).toBe('digest 04-05T00:30');
  });
});
