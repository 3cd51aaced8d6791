export * from './scoring/class-score.ts';
export * from './scoring/fault-classes.ts';
export * from './scoring/observed-unit.ts';
export * from './scoring/proportion.ts';
export * from './scoring/quartiles.ts';
export * from './scoring/score.ts';
