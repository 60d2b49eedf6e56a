/** export, import, backup and restore as they are typed: programs of their own on a data folder, with and without a hub. */
import { execFile } from 'node:child_process'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Hub } from '../../hub/main.js'
import { setUpHome, startOn } from '../hub/hub-fixture.js'

const MAIN = resolve(import.meta.dirname, '../../hub/cli/main.ts')
let root = ''
let hub: Hub | null = null
beforeAll(async () => {
  root = await mkdtemp(join(tmpdir(), 'hearting-cli-'))
})
afterAll(async () => {
  await hub?.close()
  await rm(root, { recursive: true, force: true })
})

interface Ran {
  readonly code: number
  readonly out: string
  readonly error: string
}

function run(dataDir: string, ...args: string[]): Promise<Ran> {
  const env = { ...process.env, HEARTING_DATA_DIR: join(root, dataDir), HEARTING_TOKEN: '' }
  return new Promise((done) => {
    execFile(process.execPath, ['--import', 'tsx', MAIN, ...args], { env }, (failure, out, error) => {
      done({ code: typeof failure?.code === 'number' ? failure.code : failure ? -1 : 0, out, error })
    })
  })
}

const tableOf = (rows: readonly string[]): string => `time,air_temp_c\n${rows.join('\n')}\n`
const minutes = (n: number, from = 0): string[] =>
  Array.from(
    { length: n },
    (_, i) => `${new Date(Date.UTC(2026, 4, 6) + (from + i) * 60_000).toISOString()},${i % 30}`,
  )

describe('the grower’s data on the command line', { timeout: 240_000 }, () => {
  it('goes out and comes in beside a running hub', async () => {
    hub = await startOn(join(root, 'data'))
    await setUpHome(hub)
    const csv = join(root, 'history.csv')
    await writeFile(csv, tableOf(minutes(6_000)))
    const http = ['--http', hub.httpUrl]
    const imported = await run('data', 'import', csv, '--node', 'n1', '--json', ...http)
    expect(imported).toMatchObject({ code: 0, error: '' })
    expect(JSON.parse(imported.out)).toMatchObject({
      rows: 6_000,
      stored: 6_000,
      repeated: 0,
      faultyLines: 0,
    })
    const again = await run('data', 'import', csv, '--node', 'n1', ...http)
    expect(again.out).toMatch(/0 readings new to the hub, 6,000 there already/)

    const exported = await run('data', 'export', join(root, 'beside'), ...http)
    expect(exported).toMatchObject({ code: 0, error: '' })
    expect((await readFile(join(root, 'beside', 'readings.csv'), 'utf8')).split('\r\n')).toHaveLength(6_002)
    const refused = await run('data', 'import', join(root, 'beside'))
    expect(refused).toMatchObject({
      code: 1,
      error: expect.stringMatching(/A hub runs on this data folder: stop it/),
    })
    const lost = await run('data', 'export', join(root, 'lost'), '--http', 'http://127.0.0.1:9')
    expect(lost).toMatchObject({ code: 1, error: expect.stringMatching(/nothing answers at .*--http/) })
    const backup = await run('data', 'backup', join(root, 'hub.tar'))
    expect(backup).toMatchObject({ code: 0, out: expect.stringMatching(/garden\.sqlite, readings\.sqlite/) })
    const taken = await run('data', 'restore', join(root, 'hub.tar'))
    expect(taken).toMatchObject({ code: 1, error: expect.stringMatching(/already running/) })
    await hub.close()
    hub = null
  })

  it('is the same with the hub stopped, elsewhere, and out of a backup', async () => {
    const own = join(root, 'own')
    expect(await run('data', 'export', own)).toMatchObject({ code: 0, error: '' })
    for (const file of ['garden.json', 'readings.csv', 'days.csv']) {
      expect(await readFile(join(own, file), 'utf8'), file).toBe(
        await readFile(join(root, 'beside', file), 'utf8'),
      )
    }
    expect(await run('data', 'export', own)).toMatchObject({
      code: 1,
      error: expect.stringMatching(/already/),
    })
    expect(await run('new', 'import', own)).toMatchObject({
      code: 0,
      out: expect.stringMatching(/garden home \(Plot\) taken in; 6,000 readings new/),
    })
    expect(await run('new', 'export', join(root, 'second'))).toMatchObject({ code: 0 })
    expect(await readFile(join(root, 'second', 'SHA256SUMS'), 'utf8')).toBe(
      await readFile(join(own, 'SHA256SUMS'), 'utf8'),
    )
    expect(await run('restored', 'restore', join(root, 'hub.tar'))).toMatchObject({ code: 0 })
    expect(await run('restored', 'export', join(root, 'third'))).toMatchObject({ code: 0 })
    expect(await readFile(join(root, 'third', 'SHA256SUMS'), 'utf8')).toBe(
      await readFile(join(own, 'SHA256SUMS'), 'utf8'),
    )
  })

  it('stores nothing of a table with lines at fault, unless told to leave them out', async () => {
    const csv = join(root, 'faulty.csv')
    await writeFile(csv, tableOf([...minutes(3, 50_000), 'noon,3', ...minutes(2, 60_000)]))
    const refused = await run('data', 'import', csv, '--node', 'n1')
    expect(refused).toMatchObject({
      code: 1,
      error: expect.stringMatching(/nothing was stored.*\n {2}line 5: "noon"/s),
    })
    const skipped = await run('data', 'import', csv, '--node', 'n1', '--skip-faulty')
    expect(skipped).toMatchObject({ code: 2, out: expect.stringMatching(/5 readings new[\s\S]*line 5/) })
    expect(await run('data', 'import', csv)).toMatchObject({
      code: 1,
      error: expect.stringMatching(/--node/),
    })
    expect(await run('data', 'import', join(root, 'no.csv'), '--node', 'n1')).toMatchObject({
      code: 1,
      error: expect.stringMatching(/no such file/),
    })
  })
})
