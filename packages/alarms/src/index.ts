export * from './alarm.ts';
