import { defineConfig } from 'vitest/config';

const conditions = ['source'];

export default defineConfig({
  resolve: { conditions },
  ssr: { resolve: { conditions } },
  test: {
    projects: [
      {
        extends: true,
        test: {
          name: 'unit',
          include: ['{packages,services,simulators}/*/test/**/*.test.{ts,tsx}'],
        },
      },
      {
        extends: true,
        test: { name: 'tests', include: ['tests/**/*.test.ts'], testTimeout: 60_000 },
      },
    ],
  },
});
