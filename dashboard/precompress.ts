/**
 * Writes each text asset a second and third time, compressed as hard as it goes: the hub sends those and spends no
 * work on it, and a phone at the far end of the garden gets a third of the bytes.
 */
import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { brotliCompressSync, constants, gzipSync } from 'node:zlib'
import type { Plugin } from 'vite'

const TEXT = /\.(js|css|svg)$/

export function precompress(): Plugin {
  return {
    name: 'precompress',
    apply: 'build',
    // from the files as written: until then Vite still fills in the addresses of chunks that load later
    async writeBundle({ dir }, bundle) {
      if (dir === undefined) throw new Error('precompress works on a build into a folder')
      for (const fileName of Object.keys(bundle).filter((name) => TEXT.test(name))) {
        const path = join(dir, fileName)
        const source = await readFile(path)
        const br = brotliCompressSync(source, {
          params: { [constants.BROTLI_PARAM_QUALITY]: constants.BROTLI_MAX_QUALITY },
        })
        await writeFile(`${path}.br`, br)
        await writeFile(`${path}.gz`, gzipSync(source, { level: 9 }))
      }
    },
  }
}
