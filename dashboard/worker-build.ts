/**
 * Builds the service worker after the page, since it must know the page's files by name: with another build of the page it
 * is another worker, and browsers take the new one up by themselves.
 */
import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { build, type Plugin } from 'vite'

/** Fonts of other scripts (Cyrillic, Greek …) are kept only by who reads them. */
const isKept = (name: string): boolean =>
  /\.(js|css|svg)$/.test(name) || /-latin-wght-[^/]*\.woff2$/.test(name)

export function offlineWorker(): Plugin {
  return {
    name: 'offline-worker',
    apply: 'build',
    async writeBundle({ dir }, bundle) {
      if (dir === undefined) throw new Error('the worker is built beside a page in a folder')
      const html = await readFile(join(dir, 'index.html'))
      const files = Object.keys(bundle).filter(isKept).sort()
      await build({
        configFile: false,
        root: import.meta.dirname,
        logLevel: 'warn',
        define: {
          __PAGE_FILES__: JSON.stringify(files.map((name) => `/${name}`)),
          __PAGE_DIGEST__: JSON.stringify(createHash('sha256').update(html).digest('hex')),
        },
        build: {
          outDir: dir,
          emptyOutDir: false,
          target: 'es2022',
          lib: {
            entry: join(import.meta.dirname, 'worker/sw.ts'),
            formats: ['iife'],
            name: 'worker',
            fileName: () => 'sw.js',
          },
        },
      })
    },
  }
}
