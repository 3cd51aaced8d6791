export * from './back-test.ts';
export * from './judge-history.ts';
export * from './judgement-state.ts';
export * from './ledger.ts';
export * from './merge-channels.ts';
export * from './service-event.ts';
export * from './settings-history.ts';
export * from './unit-judge.ts';
