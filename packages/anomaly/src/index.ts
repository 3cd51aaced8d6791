export * from './clock-faults.ts';
export * from './condition.ts';
export * from './condition-of.ts';
export * from './silence.ts';
export * from './vocabulary.ts';
export * from './watch.ts';
export * from './watch-state.ts';
export * from './weather-track.ts';
