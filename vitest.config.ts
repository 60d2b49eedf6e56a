import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    // CI prints its closing count from the JSON report (.ci/summary.mjs)
    reporters: process.env.CI
      ? ['default', ['json', { outputFile: 'build/test-results.json' }]]
      : ['default'],
    projects: [
      {
        test: {
          name: 'hub',
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/browser/**'],
          // a hang is to be found, not a busy machine
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          testTimeout: 120_000,
          hookTimeout: 120_000,
          fileParallelism: false,
          expect: { poll: { timeout: 15_000 } },
        },
      },
    ],
  },
})
