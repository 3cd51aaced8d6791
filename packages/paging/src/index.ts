export * from './group-pages.ts';
export type { HeldBack, PageToHandOver } from './hand-over.ts';
export { DEFAULT_PAGING_LIMITS, type PagingLimits } from './limits.ts';
export type { Stop } from './order.ts';
export * from './page-words.ts';
export * from './paging-state.ts';
