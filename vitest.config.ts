import { defineConfig } from 'vitest/config';

const conditions = ['source'];

/** Sockets, browsers and killed processes take their time; a unit test does not. */
const OUTSIDE_TIMEOUT_MS = 60_000;
/** A test waits for what is out, and for what was held back, each within bounds of its own. */
const CONTAINER_TIMEOUT_MS = 180_000;

const OUTSIDE = ['tests/end-to-end/**/*.test.ts', 'tests/faults/**/*.test.ts'];
const CONTAINERS = ['tests/containers/**/*.test.ts'];

export default defineConfig({
  resolve: { conditions },
  ssr: { resolve: { conditions } },
  test: {
    setupFiles: 'tests/house/fixed-seed.ts',
    // Properties take a second or two alone; a busy machine must not turn them red.
    testTimeout: 30_000,
    // By itself one core stays idle, which on two is half of the machine.
    maxWorkers: '100%',
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          include: ['{packages,services,simulators}/*/test/**/*.test.{ts,tsx}'],
          // Loading the same modules for each of hundreds of files took longer than the tests.
          isolate: false,
        },
      },
      {
        extends: true,
        test: {
          name: 'house',
          include: ['tests/**/*.test.ts'],
          exclude: [...OUTSIDE, ...CONTAINERS],
        },
      },
      {
        extends: true,
        test: {
          name: 'outside',
          include: OUTSIDE,
          globalSetup: 'tests/end-to-end/build-first.ts',
          testTimeout: OUTSIDE_TIMEOUT_MS,
          hookTimeout: OUTSIDE_TIMEOUT_MS,
          // Servers and browsers start slowly together, so only two at a time, and after the others.
          sequence: { groupOrder: 1 },
          maxWorkers: 2,
        },
      },
      {
        extends: true,
        test: {
          name: 'containers',
          include: CONTAINERS,
          globalSetup: ['tests/end-to-end/build-first.ts', 'tests/containers/engine-setup.ts'],
          testTimeout: CONTAINER_TIMEOUT_MS,
          hookTimeout: CONTAINER_TIMEOUT_MS,
          // They wait more than they work. After the others, whose processes want the machine.
          sequence: { groupOrder: 2 },
          maxWorkers: 3,
        },
      },
    ],
  },
});
