import { defineConfig } from 'vite'

// Node's own `process` without the types of Node: this folder is compiled for browsers.
declare const process: { readonly env: { readonly HEARTING_HUB?: string } }

const hub = process.env.HEARTING_HUB ?? 'http://127.0.0.1:8080'

export default defineConfig({
  root: import.meta.dirname,
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
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
