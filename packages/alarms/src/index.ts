export * from './act.ts';
export * from './alarm.ts';
export { ALARM_ID_PATTERN } from './alarm-id.ts';
export * from './alarm-json.ts';
export { type ReconcileContext, reconcileAlarms } from './reconcile.ts';
export * from './reduce.ts';
export * from './rfc3339.ts';
export * from './transitions.ts';
