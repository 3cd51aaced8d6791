/**
 * Hand-overs in local time against published values: the examples of RFC 5545, and changes of
 * clocks from the IANA time zone data base (tzdata 2025c, files `europe`, `northamerica`,
 * `australasia` and `asia`).
 */
import { shiftsBetween } from '@lineside/oncall';
import { describe, expect, it } from 'vitest';
import { at, rotaOf } from './rota-texts.ts';

const WEEK_MS = 7 * 86_400_000;

/** Beginnings of the shifts from an instant on, in UTC. */
function beginnings(zone: string, from: string, handOver: string, count: number, more = '') {
  const rota = rotaOf(zone, from, handOver, more);
  const start = at(`${from}T00:00Z`) - 86_400_000;
  return shiftsBetween(rota, 'crew', 'first', start, start + count * 2 * WEEK_MS)
    .filter(({ person }) => person !== null)
    .slice(0, count)
    .map(({ fromMs }) => new Date(fromMs).toISOString().slice(0, 16));
}

describe('RFC 5545, 3.3.5', () => {
  it('reads a local time that does not occur with the offset before the gap', () => {
    // TZID=America/New_York:20070311T023000 is 3:30 EDT (UTC-04:00).
    const handOver = 'weekday: sunday, time: "02:30"';
    expect(beginnings('America/New_York', '2007-03-11', handOver, 1)).toEqual(['2007-03-11T07:30']);
  });

  it('takes the first occurrence of a local time that occurs twice', () => {
    // TZID=America/New_York:20071104T013000 is 1:30 EDT (UTC-04:00).
    const handOver = 'weekday: sunday, time: "01:30"';
    expect(beginnings('America/New_York', '2007-11-04', handOver, 1)).toEqual(['2007-11-04T05:30']);
  });
});

describe('RFC 5545, 3.8.5.3', () => {
  it('has a weekly event for ten occurrences across a change of clocks', () => {
    // DTSTART;TZID=America/New_York:19970902T090000, RRULE:FREQ=WEEKLY;COUNT=10: 9:00 EDT on
    // September 2, 9, 16, 23, 30 and October 7, 14, 21; 9:00 EST on October 28 and November 4.
    const handOver = 'weekday: tuesday, time: "09:00"';
    expect(beginnings('America/New_York', '1997-09-02', handOver, 10)).toEqual([
      '1997-09-02T13:00',
      '1997-09-09T13:00',
      '1997-09-16T13:00',
      '1997-09-23T13:00',
      '1997-09-30T13:00',
      '1997-10-07T13:00',
      '1997-10-14T13:00',
      '1997-10-21T13:00',
      '1997-10-28T14:00',
      '1997-11-04T14:00',
    ]);
  });

  it('has an event every other week', () => {
    // DTSTART;TZID=America/New_York:19970902T090000, RRULE:FREQ=WEEKLY;INTERVAL=2;WKST=SU: EDT on
    // September 2, 16, 30 and October 14; EST on October 28, November 11, 25, December 9, 23,
    // January 6, 20 and February 3.
    const handOver = 'weekday: tuesday, time: "09:00"';
    expect(beginnings('America/New_York', '1997-09-02', handOver, 12, ', turnWeeks: 2')).toEqual([
      '1997-09-02T13:00',
      '1997-09-16T13:00',
      '1997-09-30T13:00',
      '1997-10-14T13:00',
      '1997-10-28T14:00',
      '1997-11-11T14:00',
      '1997-11-25T14:00',
      '1997-12-09T14:00',
      '1997-12-23T14:00',
      '1998-01-06T14:00',
      '1998-01-20T14:00',
      '1998-02-03T14:00',
    ]);
  });
});

describe('the IANA time zone data base', () => {
  it.each([
    // Spring: the week before, the day without this time, the week after.
    // Europe/Berlin, 2026-03-29: 02:00 +01:00 becomes 03:00 +02:00 (EU rule, 01:00 UTC).
    ['Europe/Berlin', '2026-03-22', '02:30', ['03-22T01:30', '03-29T01:30', '04-05T00:30']],
    // America/Halifax, 2026-03-08: 02:00 -04:00 becomes 03:00 -03:00.
    ['America/Halifax', '2026-03-01', '02:30', ['03-01T06:30', '03-08T06:30', '03-15T05:30']],
    // America/St_Johns, 2026-03-08: 02:00 -03:30 becomes 03:00 -02:30.
    ['America/St_Johns', '2026-03-01', '02:30', ['03-01T06:00', '03-08T06:00', '03-15T05:00']],
    // Australia/Lord_Howe, 2026-10-04: 02:00 +10:30 becomes 02:30 +11:00, half an hour.
    ['Australia/Lord_Howe', '2026-09-27', '02:15', ['09-26T15:45', '10-03T15:45', '10-10T15:15']],
    // Autumn: the day that has this time twice; its first occurrence.
    // Europe/Berlin, 2026-10-25: 03:00 +02:00 becomes 02:00 +01:00 (01:00 UTC).
    ['Europe/Berlin', '2026-10-18', '02:30', ['10-18T00:30', '10-25T00:30', '11-01T01:30']],
    // America/Halifax, 2026-11-01: 02:00 -03:00 becomes 01:00 -04:00.
    ['America/Halifax', '2026-10-25', '01:30', ['10-25T04:30', '11-01T04:30', '11-08T05:30']],
    // America/St_Johns, 2026-11-01: 02:00 -02:30 becomes 01:00 -03:30.
    ['America/St_Johns', '2026-10-25', '01:30', ['10-25T04:00', '11-01T04:00', '11-08T05:00']],
    // Australia/Lord_Howe, 2026-04-05: 02:00 +11:00 becomes 01:30 +10:30.
    ['Australia/Lord_Howe', '2026-03-29', '01:45', ['03-28T14:45', '04-04T14:45', '04-11T15:15']],
    // Asia/Kathmandu has +05:45 all year.
    ['Asia/Kathmandu', '2026-03-22', '08:00', ['03-22T02:15', '03-29T02:15', '04-05T02:15']],
  ])('gives hand-overs in %s from %s at %s', (zone, from, time, expected) => {
    const handOver = `weekday: sunday, time: "${time}"`;
    expect(beginnings(zone, from, handOver, 3)).toEqual(expected.map((utc) => `2026-${utc}`));
  });

  it('loses nobody on a day that a zone left out', () => {
    // Pacific/Apia went from -10:00 to +14:00 at the end of 2011-12-29: there was no 2011-12-30.
    const handOver = 'weekday: friday, time: "08:00"';
    expect(beginnings('Pacific/Apia', '2011-12-23', handOver, 3)).toEqual([
      '2011-12-23T18:00',
      '2011-12-30T18:00',
      '2012-01-05T18:00',
    ]);
  });
});
