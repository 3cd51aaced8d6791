/** What the API answers with, under the names that the screens use. */
import type { components } from '../generated/api-types.ts';

type Schemas = components['schemas'];

/** What was answered is replaced, never changed in place. */
type Frozen<T> = T extends object ? { readonly [K in keyof T]: Frozen<T[K]> } : T;

type Answer<Name extends keyof Schemas> = Frozen<Schemas[Name]>;

export type Alarm = Answer<'Alarm'>;
export type AlarmJournalEntry = Answer<'AlarmJournalEntry'>;
export type Unit = Answer<'Unit'>;
export type Condition = Answer<'Condition'>;
export type Nameplate = Answer<'Nameplate'>;
export type Session = Answer<'Session'>;
export type Health = Answer<'Health'>;
type Telemetry = Answer<'Telemetry'>;
export type Episode = Answer<'Episode'>;
export type OnCall = Answer<'OnCall'>;
export type TeamOnCall = OnCall['teams'][number];
export type Shift = Answer<'Shift'>;
export type Rota = Answer<'Rota'>;
export type RotaTeam = Rota['teams'][number];
export type RotaChange = Schemas['RotaChangeInput']['change'];
export type ChangeOutcome = Answer<'RotaChangeOutcome'>;
export type CalendarAddress = Answer<'CalendarAddress'>;
export type ContactPoint = Answer<'ContactPoint'>;
export type Alerting = Answer<'Alerting'>;
export type Hold = Answer<'Hold'>;
export type HoldRequest = Schemas['HoldRequestInput'];
export type Verdict = Answer<'Verdict'>;
export type VerdictEntry = Schemas['VerdictEntryInput'];
export type AlarmFigures = Answer<'AlarmFigures'>;
export type AlarmFigure = Answer<'AlarmFigure'>;
export type FigureTarget = NonNullable<AlarmFigure['target']>;
export type Precision = Answer<'Precision'>;
export type ServiceRecord = Answer<'ServiceRecord'>;
export type Storm = Answer<'Storm'>;
export type StormReview = Answer<'StormReview'>;
export type StormUnit = StormReview['units'][number];
export type ServiceEntry = Schemas['ServiceEntryInput'];

export type Priority = Alarm['priority'];
export type AlarmState = Alarm['state'];
export type CauseEstimate = Alarm['causes'][number];
export type EvidenceValue = Alarm['evidence'][string];
export type Role = Session['person']['role'];
export type Phase = NonNullable<ServiceEntry['phases']>[number];
export type ActionCode = ServiceEntry['action'];

/** `[epoch ms, lowest, mean, highest]` of one bucket, or one raw reading three times. */
export type TelemetryPoint = Telemetry['channels'][string]['points'][number];
