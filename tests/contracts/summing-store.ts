import type { TelemetryStore } from '@lineside/storage';

const QUESTIONS: ReadonlySet<PropertyKey> = new Set(['range', 'rangeJson', 'extremes', 'quarters']);

/**
 * The store, brought up to date before every second question: so that of the questions after each
 * append some find what came late summed up already, and some do not.
 */
export function summingStore(store: TelemetryStore): TelemetryStore {
  let asked = 0;
  return new Proxy(store, {
    get: (target, name) => {
      const value: unknown = Reflect.get(target, name);
      if (typeof value !== 'function') return value;
      const method = (...given: unknown[]): unknown => Reflect.apply(value, target, given);
      if (!QUESTIONS.has(name)) return (...given: unknown[]) => heard(method(...given));
      return (...given: unknown[]): unknown => {
        asked += 1;
        const ready = asked % 2 === 0 ? target.sumUp?.(Date.now()) : undefined;
        return heard(Promise.resolve(ready).then(() => method(...given)));
      };
    },
  });
}

/** Refusals of questions that are awaited one after another come before they are awaited. */
function heard(answer: unknown): unknown {
  if (answer instanceof Promise) answer.catch(() => {});
  return answer;
}
