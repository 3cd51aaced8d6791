import type { Alarm, Condition, Unit } from '../src/api/types.ts';

export const CONDITION: Condition = {
  time: '2026-01-10T04:00:00Z',
  operatingState: 'idle',
  relativeHumidityPercent: 60,
  dewPointMarginKelvin: 6,
  marginInferred: false,
  vapourPressureExcessPascals: null,
  leakageMilliamps: 1.2,
  currentUnbalancePercent: null,
  voltageUnbalancePercent: null,
  wetting: null,
  wetHours30Days: 3,
  learningBaseline: false,
  leakageOutlook: null,
};

const LIMITS = {
  leakageRoutineMilliamps: 3,
  leakageUrgentMilliamps: 10,
  leakageEmergencyMilliamps: 30,
  currentUnbalanceRoutinePercent: 5,
  currentUnbalanceUrgentPercent: 10,
  voltageUnbalanceRoutinePercent: 2,
  voltageUnbalanceUrgentPercent: 3,
  voltageUnbalanceEmergencyPercent: 5,
  silentRoutineMinutes: 60,
  silentUrgentMinutes: 240,
};

export function aUnit(changes: Partial<Unit> = {}): Unit {
  return {
    site: 'harbour-mall',
    siteName: 'Harbour Mall',
    timezone: 'America/Halifax',
    unit: 'rtu-01',
    name: 'RTU-1, food court',
    presence: 'online',
    lastReading: { time: CONDITION.time, channels: { rh: 60 } },
    condition: CONDITION,
    alarms: [],
    hold: null,
    nameplate: {
      supply: {
        volts: 600,
        hertz: 60,
        grounding: 'solid-wye',
        groundingAssumed: true,
        mcaAmps: 38,
        mopAmps: 50,
      },
      fuses: { class: 'RK5', amps: 50 },
      contactors: [{ name: 'C1', load: 'compressor 1', poles: 3, flaAmps: 18 }],
      drive: false,
      access: 'Ladder C',
      roof: null,
      nodeSupply: 'battery',
      limits: LIMITS,
    },
    retired: false,
    ...changes,
  };
}

export function anAlarm(changes: Partial<Alarm> = {}): Alarm {
  return {
    id: 'one',
    site: 'harbour-mall',
    unit: 'rtu-01',
    kind: 'leakage',
    priority: 'urgent',
    state: 'unacknowledged',
    raised: '2026-01-10T04:12:00Z',
    cleared: null,
    standing: true,
    acknowledged: null,
    acknowledgedBy: null,
    shelvedUntil: null,
    shelvedBy: null,
    shelveReason: null,
    priorities: [{ priority: 'urgent', since: '2026-01-10T04:12:00Z', causes: [] }],
    headline: 'Leakage to ground 14 mA, rising, line side',
    evidence: {},
    causes: [{ cause: 'line-side-track-to-ground', probability: 0.86, because: [] }],
    checks: ['Look for tracking marks on contactor bodies and back-plate'],
    bring: ['Fuses class RK5, 50 A, three plus three'],
    cautions: [],
    withdrawn: false,
    ...changes,
  };
}
