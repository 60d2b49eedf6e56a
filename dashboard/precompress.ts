/**
 * Writes each text asset a second and third time, compressed as hard as it goes: the hub sends those and spends no
 * work on it, and a phone at the far end of the garden gets a third of the bytes.
 */
import { brotliCompressSync, constants, gzipSync } from 'node:zlib'
import type { Plugin } from 'vite'

const TEXT = /\.(js|css|svg)$/

export function precompress(): Plugin {
  return {
    name: 'precompress',
    apply: 'build',
    generateBundle(_options, bundle) {
      for (const [fileName, file] of Object.entries(bundle)) {
        if (!TEXT.test(fileName)) continue
        const source = Buffer.from(file.type === 'chunk' ? file.code : file.source)
        const br = brotliCompressSync(source, {
          params: { [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY },
        })
        this.emitFile({ type: 'asset', fileName: `${fileName}.br`, source: br })
        this.emitFile({ type: 'asset', fileName: `${fileName}.gz`, source: gzipSync(source, { level: 9 }) })
      }
    },
  }
}
