import type { Alarm } from '../api/types.ts';
import { createStore, type ReadableStore } from './store.ts';

export interface Announcement {
  readonly alarm: Alarm;
  /** Wall-clock time when it was heard. */
  readonly heardAtMs: number;
}

const store = createStore<Announcement | null>(null);

/** The newest alarm that was raised, or rose in priority, while the page is open. */
export const announcement: ReadableStore<Announcement | null> = store;

export function announce(alarm: Alarm): void {
  store.set({ alarm, heardAtMs: Date.now() });
}

/** Says no longer what turned out not to be so. */
export function takeBack(alarm: Alarm): void {
  if (store.get()?.alarm.id === alarm.id) store.set(null);
}

export function dismissAnnouncement(): void {
  store.set(null);
}
