import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'

const SOURCE = join(import.meta.dirname, '../../dashboard/src')

/** Imports that remain when types are gone. */
const VALUE_IMPORT =
  /^import (?!type\b)[^'"]*['"]([^'"]+)['"]|^export (?!type\b)[^'"]* from ['"]([^'"]+)['"]/gm

function valueImports(file: string): string[] {
  const text = readFileSync(join(SOURCE, file), 'utf8')
  return [...text.matchAll(VALUE_IMPORT)].map((match) => match[1] ?? match[2] ?? '')
}

const files = readdirSync(SOURCE, { recursive: true, encoding: 'utf8' }).filter((f) => /\.tsx?$/.test(f))

test('the page takes types only from the wire schemas, and nothing from the hub', () => {
  expect(files.length).toBeGreaterThan(50)
  // one value of shared/api or shared/ids brings all of zod: twice the weight, and a probe that the page's policy refuses
  const heavy = files.flatMap((file) =>
    valueImports(file)
      .filter((from) => /shared\/(api\/|ids)|^zod|\/hub\//.test(from))
      .map((from) => `${file}: ${from}`),
  )
  expect(heavy).toEqual([])
})
