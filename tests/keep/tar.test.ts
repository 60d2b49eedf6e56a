import { mkdtemp, open, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { entryStream, TAR_END, type TarEntry, tarEntries, tarHeader, tarPadding } from '../../hub/keep/tar.js'

let root = ''
beforeAll(async () => {
  root = await mkdtemp(join(tmpdir(), 'hearting-tar-'))
})
afterAll(() => rm(root, { recursive: true, force: true }))

async function entriesOf(bytes: Buffer): Promise<{ path: string; entries: TarEntry[] }> {
  const path = join(root, 'a.tar')
  await writeFile(path, bytes)
  const file = await open(path, 'r')
  try {
    return { path, entries: await tarEntries(file) }
  } finally {
    await file.close()
  }
}

async function contentOf(path: string, entry: TarEntry): Promise<string> {
  let text = ''
  for await (const some of entryStream(path, entry)) text += String(some)
  return text
}

describe('a tar', () => {
  it('gives back what was put in, an empty file too', async () => {
    const files = { first: 'some words', empty: '', last: 'x'.repeat(512) }
    const parts = Object.entries(files).flatMap(([name, text]) => [
      tarHeader(name, text.length, 0),
      Buffer.from(text),
      tarPadding(text.length),
    ])
    const { path, entries } = await entriesOf(Buffer.concat([...parts, TAR_END]))
    expect(entries.map(({ name }) => name)).toEqual(Object.keys(files))
    for (const entry of entries) expect(await contentOf(path, entry)).toBe(Reflect.get(files, entry.name))
  })

  it('is refused when it says that a file is less than nothing, which would lead back', async () => {
    const header = tarHeader('odd', 0, 0)
    header.write('-0000001000\0', 124)
    header.fill(' ', 148, 156)
    const sum = header.reduce((total, byte) => total + byte, 0)
    header.write(`${sum.toString(8).padStart(6, '0')}\0 `, 148)
    await expect(entriesOf(Buffer.concat([header, TAR_END]))).rejects.toThrow(/cut off/)
  }, 5_000)
})
