export * from './condition.ts';
export * from './vocabulary.ts';
