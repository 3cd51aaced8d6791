import { createHash } from 'node:crypto';
import { type Alarm, type AlarmJson, alarmJson, rfc3339 } from '@lineside/alarms';
import type { UnitCondition, WettingEpisode } from '@lineside/anomaly';
import type { Unit } from '@lineside/fleet';

const ID_HASH_BYTES = 12;

/**
 * An alarm as a line. A back-test has no journal that numbers alarms: the id comes from what the
 * alarm is, so that the same data give the same id.
 */
export function alarmLine(alarm: Alarm): string {
  const { site, unit, kind, raisedAtMs } = alarm;
  const hash = createHash('sha256').update(`${site}/${unit}/${kind}/${raisedAtMs}`).digest();
  const id = `${kind}-${hash.subarray(0, ID_HASH_BYTES).toString('base64url')}`;
  return JSON.stringify(alarmJson({ ...alarm, id }));
}

/** What `alarmLine` wrote. */
export function alarmFromLine(line: string): AlarmJson {
  return JSON.parse(line);
}

/** A wetting as a line. */
export function episodeLine({ site, id }: Unit, episode: WettingEpisode): string {
  const { startMs, peakMs, endMs, source, wetHours, evidence } = episode;
  return JSON.stringify({
    site,
    unit: id,
    start: rfc3339(startMs),
    peak: rfc3339(peakMs),
    end: endMs === null ? null : rfc3339(endMs),
    source,
    wetHours,
    evidence,
  });
}

/** A condition as a line. `time` is the multiple of the interval, `lastReading` what it rests on. */
export function conditionLine({ site, id }: Unit, atMs: number, condition: UnitCondition): string {
  const { wetting } = condition;
  return JSON.stringify({
    site,
    unit: id,
    time: rfc3339(atMs),
    lastReading: rfc3339(condition.atMs),
    operatingState: condition.operatingState,
    relativeHumidityPercent: condition.relativeHumidityPercent,
    dewPointMarginKelvin: condition.dewPointMarginKelvin,
    marginInferred: condition.marginInferred,
    vapourPressureExcessPascals: condition.vapourPressureExcessPascals,
    leakageMilliamps: condition.leakageMilliamps,
    currentUnbalancePercent: condition.currentUnbalancePercent,
    voltageUnbalancePercent: condition.voltageUnbalancePercent,
    wetting: wetting === null ? null : { since: rfc3339(wetting.sinceMs), source: wetting.source },
    wetHours30Days: condition.wetHours30Days,
    learningBaseline: condition.learningBaseline,
    leakageOutlook: outlookOf(condition),
  });
}

function outlookOf({ leakageOutlook: outlook }: UnitCondition): object | null {
  if (outlook?.repair == null) return outlook;
  const { repairedAtMs, ...before } = outlook.repair;
  return { ...outlook, repair: { repaired: rfc3339(repairedAtMs), ...before } };
}
