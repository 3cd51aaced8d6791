export * from './unit.ts';
