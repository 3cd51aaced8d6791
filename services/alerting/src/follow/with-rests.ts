import type { InParts } from '@lineside/paging';

/** Does the work part by part; between them the thread does what else there is to do. */
export async function withRests<T>(parts: InParts<T>): Promise<T> {
  let part = parts.next();
  while (part.done !== true) {
    await new Promise((resolve) => setImmediate(resolve));
    part = parts.next();
  }
  return part.value;
}
