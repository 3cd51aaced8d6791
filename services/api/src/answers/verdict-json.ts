import { type Alarm, rfc3339 } from '@lineside/alarms';
import type { AlarmVerdict } from '@lineside/storage';
import type { LabelledCaseJson, VerdictJson } from '../schemas/verdict.ts';

export function verdictJson(one: AlarmVerdict): VerdictJson {
  const { alarmId: alarm, verdict, found, cause, by, atMs } = one;
  return { alarm, verdict, found, cause, by, time: rfc3339(atMs) };
}

export function labelledCaseJson(verdict: AlarmVerdict, alarm: Alarm): LabelledCaseJson {
  const { site, unit, kind, raisedAtMs, clearedAtMs } = alarm;
  const cleared = clearedAtMs === null ? null : rfc3339(clearedAtMs);
  return { site, unit, kind, raised: rfc3339(raisedAtMs), cleared, ...verdictJson(verdict) };
}
