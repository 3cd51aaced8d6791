import type { Hold } from '../api/types.ts';

const HOLDS: Readonly<Record<Hold['kind'], string>> = {
  maintenance: 'Under maintenance',
  'out-of-service': 'Out of service',
};

const MEANINGS: Readonly<Record<Hold['kind'], string>> = {
  maintenance: 'Its alarms are journalled and shown here; nobody is paged.',
  'out-of-service': 'Its alarms are set aside with it; nobody is paged.',
};

export const holdWords = (kind: Hold['kind']): string => HOLDS[kind];
export const holdMeaning = (kind: Hold['kind']): string => MEANINGS[kind];
