import { describe, inject } from 'vitest';
import { useEngine } from './engine.ts';

/** A suite that needs the Docker engine; named as skipped, with the reason, where there is none. */
export function describeOnEngine(title: string, body: () => void): void {
  const engine = inject('engine');
  if ('reason' in engine) {
    describe.skip(`${title} (${engine.reason})`, body);
    return;
  }
  useEngine(engine);
  describe(title, body);
}
