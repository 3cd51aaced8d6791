import { PRIORITIES, type Priority } from './vocabulary.ts';

/** True when `priority` lies above what stands; anything lies above nothing. */
export function isHigher(priority: Priority, standing: Priority | null): boolean {
  return standing === null || PRIORITIES.indexOf(priority) > PRIORITIES.indexOf(standing);
}
