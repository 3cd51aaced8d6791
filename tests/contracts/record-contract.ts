import { describe } from 'vitest';
import { recordAlarmLifeContract } from './record-contract-alarm-life.ts';
import { recordAlarmListContract } from './record-contract-alarm-lists.ts';
import { recordAlarmContract } from './record-contract-alarms.ts';
import { recordAlertingContract } from './record-contract-alerting.ts';
import { recordCalendarContract } from './record-contract-calendars.ts';
import { recordJudgementContract } from './record-contract-judgement.ts';
import { recordKeepingContract } from './record-contract-keeping.ts';
import { recordNodeContract } from './record-contract-nodes.ts';
import { recordOnCallContract } from './record-contract-on-call.ts';
import { recordOutboxContract } from './record-contract-outbox.ts';
import { recordPeopleContract } from './record-contract-people.ts';
import { recordReplayContract } from './record-contract-replay.ts';
import { recordSignInContract } from './record-contract-sign-ins.ts';
import type { MakePlace } from './record-place.ts';

/**
 * The suite that every record store passes. It knows the port only: an adapter gives it empty
 * places to work in.
 */
export function recordContract(name: string, make: MakePlace): void {
  describe(`record contract: ${name}`, () => {
    // Each part in a describe of its own, so that its hooks open places for its own tests only.
    describe('alarms', () => recordAlarmContract(make));
    describe('lists of alarms', () => recordAlarmListContract(make));
    describe('judgements and service', () => recordJudgementContract(make));
    describe('replay', () => recordReplayContract(make));
    describe('nodes', () => recordNodeContract(make));
    describe('sign-ins at the broker', () => recordSignInContract(make));
    describe('people', () => recordPeopleContract(make));
    describe('alerting', () => recordAlertingContract(make));
    describe('the outbox', () => recordOutboxContract(make));
    describe('on call', () => recordOnCallContract(make));
    describe('lives of alarms', () => recordAlarmLifeContract(make));
    describe('calendars and messages', () => recordCalendarContract(make));
    describe('keeping', () => recordKeepingContract(make));
  });
}
