import { defineConfig } from 'vite'
import { precompress } from './precompress.js'
import { offlineWorker } from './worker-build.js'

/** The hub that `npx vite dashboard` asks while the page is being worked on. */
const hub = process.env.HEARTING_HUB ?? 'http://127.0.0.1:8080'

export default defineConfig({
  root: import.meta.dirname,
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [precompress(), offlineWorker()],
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: 'es2022',
    // the content-security policy of the hub allows neither inline scripts nor data: URLs
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
  },
  server: { proxy: { '/api': hub } },
})
