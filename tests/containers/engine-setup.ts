/** One engine for all tests in containers; without one they are named as skipped. */
import type { TestProject } from 'vitest/node';
import { type Engine, leaveEngine, startEngine } from './engine.ts';

declare module 'vitest' {
  interface ProvidedContext {
    /** The engine, or why there is none. */
    engine: Engine | { readonly reason: string };
  }
}

export function setup(project: TestProject): void {
  project.provide('engine', startEngine());
}

export function teardown(): void {
  leaveEngine();
}
