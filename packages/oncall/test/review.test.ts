import { parseRotaFile, reviewRota, reviewSites, teamOfSite } from '@lineside/oncall';
import { describe, expect, it } from 'vitest';
import { at, HARBOUR, harbourWith } from './rota-texts.ts';

const WINDOW = [at('2026-01-10T00:00Z'), at('2026-04-01T00:00Z')] as const;

describe('the review of sites', () => {
  it('finds nothing where each has a team', () => {
    expect(reviewSites(harbourWith(), ['harbour-mall', 'far-away', 'pier-nine'])).toEqual([]);
    expect(teamOfSite(harbourWith(), 'harbour-mall')?.id).toBe('north');
    expect(teamOfSite(harbourWith(), 'far-away')?.id).toBe('south');
  });

  it('names each site that no team covers, with its place and what to do', () => {
    const rota = parseRotaFile(HARBOUR.replace('takesOtherSites: true', 'sites: []'), 'rota.yaml');
    expect(teamOfSite(rota, 'far-away')).toBeNull();
    expect(reviewSites(rota, ['harbour-mall', 'far-away', 'pier-nine'])).toEqual([
      {
        place: 'sites[1]',
        words:
          'no team covers far-away, its alarms go to the office at once; ' +
          'add it to the sites of a team, or let one team take other sites',
      },
    ]);
  });

  it('names each site of a team that the fleet does not have', () => {
    expect(reviewSites(harbourWith(), ['harbour-mall'])).toEqual([
      {
        place: 'teams[0].sites[1]',
        words: 'the fleet has no site pier-nine; correct it or take it out',
      },
    ]);
  });
});

describe('the review of a rota', () => {
  it('finds nothing in one that is in order', () => {
    const cover =
      'id: c1, kind: cover, for: ben, by: dov, from: 2026-02-02T08:00, to: 2026-02-09T08:00';
    expect(reviewRota(harbourWith(cover), ...WINDOW)).toEqual([]);
  });

  it('names the time that nobody has', () => {
    const rota = parseRotaFile(
      HARBOUR.replace('[dov, cyd]\n    first', '[dov]\n    first').replace(
        'turnWeeks: 2\n        people: [dov, cyd]',
        'turnWeeks: 2\n        people: []',
      ),
      'rota.yaml',
    );
    expect(reviewRota(rota, at('2026-01-03T00:00Z'), at('2026-01-12T00:00Z'))).toEqual([
      {
        place: 'teams[0].first',
        words:
          'nobody has the first call from 2026-01-02 20:00-04:00 to 2026-01-05 08:00-04:00: ' +
          'the rotation of the first call begins on 2026-01-05',
      },
      {
        place: 'teams[1].first',
        words:
          'nobody has the first call from 2026-01-02 17:00+01:00 to 2026-01-16 17:00+01:00: ' +
          'the rotation from 2026-01-02 on has nobody',
      },
    ]);
  });

  it('names who has both calls, and when', () => {
    const cover =
      'id: c1, kind: cover, for: ben, by: cyd, from: 2026-02-04T08:00, to: 2026-02-05T08:00';
    expect(reviewRota(harbourWith(cover), ...WINDOW)).toEqual([
      {
        place: 'teams[0]',
        words:
          'cyd has both calls from 2026-02-04 08:00-04:00 to 2026-02-05 08:00-04:00; ' +
          'let somebody cover one of them',
      },
    ]);
  });

  it.each([
    [
      'id: c1, kind: cover, call: first, for: ana, by: dov, from: 2026-02-04T08:00, to: 2026-02-05T08:00',
      'ana has not the first call from 2026-02-04T08:00 to 2026-02-05T08:00, so nothing is covered; ' +
        'correct it or call it off',
    ],
    [
      'id: c1, kind: cover, for: ana, by: dov, from: 2026-02-04T08:00, to: 2026-02-05T08:00',
      'ana has no call from 2026-02-04T08:00 to 2026-02-05T08:00, so nothing is covered; ' +
        'correct it or call it off',
    ],
    [
      'id: s1, kind: swap, one: { person: ben, shift: 2026-02-02 }, ' +
        'other: { person: ana, shift: 2026-02-17 }',
      'ana has no shift of the first call that begins on 2026-02-17; correct it or call it off',
    ],
  ])('names a change that gives nobody anything: %s', (change, words) => {
    const idle = reviewRota(harbourWith(change), ...WINDOW).filter(
      ({ place }) => place !== 'teams[0]',
    );
    expect(idle).toEqual([{ place: 'teams[0].changes[0]', words }]);
    expect(reviewRota(harbourWith(`${change}, calledOff: true`), ...WINDOW)).toEqual([]);
  });

  it('leaves alone what lies outside the window', () => {
    const cover =
      'id: c1, kind: cover, for: ana, by: dov, from: 2026-02-04T08:00, to: 2026-02-05T08:00';
    const spring = [at('2026-03-01T00:00Z'), at('2026-04-01T00:00Z')] as const;
    expect(reviewRota(harbourWith(cover), ...spring)).toEqual([]);
  });
});
