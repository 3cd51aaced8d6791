export const MINUTE_MS = 60_000;
export const NOW_MS: number = Date.UTC(2026, 0, 10, 4, 12);
export const SITE = 'harbour-mall';
export const UNIT = 'rtu-01';
export const FIRST_PAGE = { limit: 100, cursor: null } as const;
