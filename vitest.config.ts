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
          testTimeout: 30_000,
          hookTimeout: 30_000,
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          testTimeout: 120_000,
          hookTimeout: 120_000,
          fileParallelism: false,
        },
      },
    ],
  },
})
