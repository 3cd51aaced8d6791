import type { Call } from './rota.ts';

/** What rotation or holiday gives to one person, before anybody covers or swaps. */
export interface Turn {
  /** `first-20260105T120000Z`: stays when people change, moves when the hand-over does. */
  readonly key: string;
  readonly kind: 'rotation' | 'holiday';
  readonly fromMs: number;
  readonly toMs: number;
  /** Local date of its beginning; '' for the time before the first rotation. */
  readonly date: string;
  /** `null` when nobody has it; then `gap` says why. */
  readonly person: string | null;
  readonly gap: string | null;
}

/** `first-20260105T120000Z`, or `first-holiday-…` since a holiday may begin with a turn. */
export function turnKey(call: Call, kind: Turn['kind'], fromMs: number): string {
  return `${call}-${kind === 'holiday' ? 'holiday-' : ''}${stamp(fromMs)}`;
}

/** `20260105T120000Z`, the basic format of ISO 8601. */
export function stamp(atMs: number): string {
  return new Date(atMs).toISOString().replace(/[-:]|\.\d{3}/g, '');
}
