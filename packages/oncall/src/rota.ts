import type { EscalationPolicy } from './escalation/policy.ts';
import type { Weekday } from './local-time.ts';

/**
 * The rota: who is on call for which sites, and whom an alarm asks next. Plain JSON with all
 * defaults filled in, as `parseRotaFile` gives it. Dates, times and date-times are local to the
 * team's zone: `2026-01-05`, `08:00`, `2026-01-05T08:00`.
 */
export interface Rota {
  /** Where the SEQUENCE of each shift in a calendar begins; raise it with each edit by hand. */
  readonly revision: number;
  readonly people: readonly Person[];
  readonly office: Office;
  readonly holidays: readonly HolidayCalendar[];
  readonly teams: readonly Team[];
  readonly escalation: EscalationPolicy;
}

export interface Person {
  readonly id: string;
  /** As shown. */
  readonly name: string;
  /** Ids of contact points, in the order of trying them. Never a number or address itself. */
  readonly contacts: readonly string[];
}

/** Who is asked when nobody else is left. */
export interface Office {
  readonly name: string;
  readonly contacts: readonly string[];
}

export interface HolidayCalendar {
  readonly id: string;
  /** In the order of their dates, apart from each other. */
  readonly days: readonly Holiday[];
}

export interface Holiday {
  readonly name: string;
  readonly date: string;
  /** The last day of a holiday of several days, else the same as `date`. */
  readonly lastDate: string;
}

export interface Team {
  readonly id: string;
  readonly name: string;
  /** IANA time zone of all dates and times of the team. */
  readonly zone: string;
  readonly sites: readonly string[];
  /** Covers all sites that no team names. One team at most. */
  readonly takesOtherSites: boolean;
  /** Who is asked when the whole team is; each once. */
  readonly members: readonly string[];
  /** In the order of their beginning; each holds until the next one begins. */
  readonly first: readonly Rotation[];
  /** Its own rotations, or that of the first call some turns ahead, or none. */
  readonly second: SecondCall;
  readonly holidays: readonly TeamHolidays[];
  /** In the order in which they were agreed, which is the order in which they apply. */
  readonly changes: readonly Change[];
}

export type SecondCall = readonly Rotation[] | CallOffset | null;

/** Who has the first call so many turns later. */
export interface CallOffset {
  readonly offset: number;
}

export interface Rotation {
  /** Date of its first hand-over, on the hand-over's weekday. */
  readonly from: string;
  readonly handOver: { readonly weekday: Weekday; readonly time: string };
  /** Weeks until the next hand-over. */
  readonly turnWeeks: number;
  /** Who takes turns. Empty: from then on nobody is on call, and everyone is told so. */
  readonly people: readonly string[];
}

/** How a team keeps the holidays of one calendar. */
export interface TeamHolidays {
  readonly calendar: string;
  /** A holiday's shift lasts from this time on its first day to this time after its last one. */
  readonly startsAt: string;
  /** Who takes the first call, one holiday of the calendar after the other. */
  readonly first: readonly string[];
  /** Likewise the second one; `null` leaves it to the rotation. */
  readonly second: readonly string[] | CallOffset | null;
}

export const CALLS = ['first', 'second'] as const;
export type Call = (typeof CALLS)[number];

export type Change = Cover | Swap;

/** Somebody takes the call for somebody else, a whole shift or part of one. */
export interface Cover {
  readonly id: string;
  readonly kind: 'cover';
  /** `null`: whichever call the person has. */
  readonly call: Call | null;
  readonly for: string;
  readonly by: string;
  /** Date and time. */
  readonly from: string;
  readonly to: string;
  readonly calledOff: boolean;
}

/** Two people exchange two shifts of one call. */
export interface Swap {
  readonly id: string;
  readonly kind: 'swap';
  readonly call: Call;
  readonly one: SwapSide;
  readonly other: SwapSide;
  readonly calledOff: boolean;
}

export interface SwapSide {
  readonly person: string;
  /** Date on which the shift begins that this person gives away. */
  readonly shift: string;
}
