import { defineConfig } from 'vitest/config'

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    setupFiles: ['tests/seed.ts'],
    // one file waits for its browser while another works
    maxWorkers: 3,
    testTimeout: 60_000,
    // what a page shows may take a while on a busy machine
    expect: { poll: { timeout: 20_000 } },
  },
})
