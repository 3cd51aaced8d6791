import { type Alarm, type AlarmJson, alarmJson } from '@lineside/alarms';
import { type Advice, adviceFor } from '@lineside/anomaly';
import type { Fleet, Unit } from '@lineside/fleet';

/** An alarm with what to check, to bring and to mind for whoever goes there. */
export type AlarmAnswer = AlarmJson & Advice;

/** An alarm as the API answers it; advice goes by the newest causes and the unit's nameplate. */
export type AnswerAlarm = (alarm: Alarm) => AlarmAnswer;

/** @param fleet the fleet as it is now; a unit that it does not have is advised without a plate. */
export function alarmAnswers(fleet: () => Fleet): AnswerAlarm {
  let known: Fleet | null = null;
  let plates = new Map<string, Unit>();
  return (alarm) => {
    const now = fleet();
    if (now !== known) {
      known = now;
      plates = new Map(now.units.map((unit) => [`${unit.site}/${unit.id}`, unit]));
    }
    const plate = plates.get(`${alarm.site}/${alarm.unit}`) ?? null;
    return { ...alarmJson(alarm), ...adviceFor(alarm.causes, plate) };
  };
}
