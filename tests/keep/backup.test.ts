import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { cp, mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { openOwnParts } from '../../hub/cli/own-parts.js'
import { Config } from '../../hub/config.js'
import { GARDEN_MIGRATIONS } from '../../hub/garden/sqlite/schema.js'
import { makeBackup } from '../../hub/keep/backup.js'
import { KeepError } from '../../hub/keep/port.js'
import { restoreBackup } from '../../hub/keep/restore.js'
import { READINGS_VERSION } from '../../hub/store/sqlite/readings-schema.js'
import { fillGarden, NOW_MS, oddReadings } from './full-garden.js'

const knownVersions = {
  'garden.sqlite': GARDEN_MIGRATIONS.length,
  'readings.sqlite': READINGS_VERSION,
  'spool.sqlite': 1,
}
const LIGHT = { garden: 'home', node: 'n1', quantity: 'light' }

/** a full data folder and a backup of it, made once; tests work on copies of them */
let made = ''
let root = ''
let dataDir = ''
const running: ChildProcess[] = []
beforeAll(async () => {
  made = await mkdtemp(join(tmpdir(), 'hearting-backup-'))
  const parts = await open(join(made, 'data'))
  await fillGarden(parts)
  await parts.close()
  await makeBackup(join(made, 'data'), join(made, 'hub.tar'))
}, 120_000)
afterAll(() => rm(made, { recursive: true, force: true }))
beforeEach(async () => {
  root = await mkdtemp(join(tmpdir(), 'hearting-backup-'))
  dataDir = join(root, 'data')
  await cp(join(made, 'data'), dataDir, { recursive: true })
})
afterEach(async () => {
  for (const child of running.splice(0)) child.kill('SIGKILL')
  await rm(root, { recursive: true, force: true })
})

async function open(dir: string) {
  const parts = await openOwnParts(Config.parse({ dataDir: dir }), () => NOW_MS)
  if (!parts) throw new Error('the folder is in use')
  return parts
}

async function textOf(dir: string): Promise<string> {
  const parts = await open(dir)
  let text = ''
  for await (const piece of parts.keep.gardenJson('home')) text += piece
  for await (const piece of parts.keep.readingsCsv('home')) text += piece
  await parts.close()
  return text
}

const complaint = (work: Promise<unknown>): Promise<unknown> =>
  work.then(
    () => null,
    (error: unknown) => error,
  )

// each look at a data folder starts threads, which a busy machine takes its time for
const WITH_THREADS_MS = 120_000

describe('a backup', { timeout: WITH_THREADS_MS }, () => {
  it('taken beside whoever has the databases open, and restored, has all of it, secrets’ digests too', async () => {
    const parts = await open(dataDir)
    await parts.garden.addToken({
      id: 't',
      name: 'script',
      scope: 'read',
      digest: 'd'.repeat(64),
      createdAtMs: 1,
    })
    const file = join(root, 'hub.tar')
    const seen: string[] = []
    const manifest = await makeBackup(dataDir, file, {
      onProgress: ({ file: name, phase }) => seen.push(`${phase} ${name}`),
    })
    await parts.close()
    expect(manifest.files.map(({ name }) => name)).toEqual(['garden.sqlite', 'readings.sqlite'])
    expect(new Set(seen)).toEqual(
      new Set([
        'copying garden.sqlite',
        'copying readings.sqlite',
        'writing garden.sqlite',
        'writing readings.sqlite',
      ]),
    )
    expect((await stat(file)).mode & 0o777).toBe(0o600)
    // nothing is left beside it
    expect((await readdir(root)).sort()).toEqual(['data', 'hub.tar'])

    const target = await mkdtemp(join(root, 'target-'))
    expect(await restoreBackup(file, target, { replace: false, knownVersions })).toMatchObject({
      putAside: null,
    })
    expect(await textOf(target)).toBe(await textOf(dataDir))
    const again = await open(target)
    expect((await again.garden.readDoors()).tokens).toMatchObject([{ name: 'script' }])
    await again.close()
  })

  it('is a tar that other programs open', async () => {
    const file = join(root, 'hub.tar')
    await makeBackup(dataDir, file)
    const tar = spawn('tar', ['-tf', file])
    running.push(tar)
    let listed = ''
    tar.stdout.on('data', (some: Buffer) => {
      listed += some.toString()
    })
    await once(tar, 'close')
    expect(listed.trim().split('\n')).toEqual(['manifest.json', 'garden.sqlite', 'readings.sqlite'])
  })

  it('is of one moment, and comes to its end, however much is written meanwhile', async () => {
    const writer = spawn(
      process.execPath,
      ['--import', 'tsx', join(import.meta.dirname, 'busy-writer.ts'), dataDir],
      {
        stdio: ['ignore', 'pipe', 'inherit'],
      },
    )
    running.push(writer)
    await once(writer.stdout!, 'data')
    const file = join(root, 'busy.tar')
    await makeBackup(dataDir, file)
    writer.kill('SIGKILL')
    await once(writer, 'close')
    const target = await mkdtemp(join(root, 'target-'))
    await restoreBackup(file, target, { replace: false, knownVersions })
    const db = new Database(join(target, 'readings.sqlite'), { readonly: true })
    // the writer puts two readings into each commit: never one without the other
    const counts = db
      .prepare('SELECT count(*) FROM reading r JOIN series s ON s.id = r.series_id WHERE s.node = ?')
      .pluck()
    expect(counts.get('left')).toBe(counts.get('right'))
    expect(Number(counts.get('left'))).toBeGreaterThan(0)
    db.close()
  })

  it('leaves nothing that looks like one when it is killed', async () => {
    const parts = await open(dataDir)
    const many = oddReadings().map((reading) => ({ ...reading, node: 'n3' }))
    for (let i = 0; i < 40; i++) {
      await parts.store.append(
        many.map((reading) => ({ ...reading, timeMs: reading.timeMs - i * 700_000_001 })),
        NOW_MS,
      )
    }
    await parts.close()
    const file = join(root, 'killed.tar')
    for (const phase of ['copying', 'writing']) {
      const child = spawn(
        process.execPath,
        ['--import', 'tsx', join(import.meta.dirname, 'backup-process.ts'), dataDir, file, phase],
        { stdio: ['ignore', 'pipe', 'inherit'] },
      )
      running.push(child)
      await once(child.stdout!, 'data')
      child.kill('SIGKILL')
      await once(child, 'close')
      expect((await readdir(root)).filter((name) => name === 'killed.tar')).toEqual([])
    }
    expect((await readdir(root)).some((name) => name.startsWith('killed.tar.unfinished-'))).toBe(true)
    // the next one clears away what they left
    await makeBackup(dataDir, file)
    expect((await readdir(root)).sort()).toEqual(['data', 'killed.tar'])
  })

  it('minds no leftover of a program that had the same number, as in a container each has', async () => {
    const file = join(root, 'hub.tar')
    const leftover = `${file}.unfinished-${process.pid}`
    await cp(dataDir, leftover, { recursive: true })
    await writeFile(join(leftover, 'readings.sqlite'), 'half a copy')
    const manifest = await makeBackup(dataDir, file)
    expect(manifest.files).toHaveLength(2)
    expect((await readdir(root)).sort()).toEqual(['data', 'hub.tar'])
  })

  it('overwrites no file, and says where there is nothing to back up', async () => {
    const file = join(root, 'hub.tar')
    await writeFile(file, 'precious')
    expect(await complaint(makeBackup(dataDir, file))).toMatchObject({
      message: expect.stringMatching(/already/),
    })
    expect(await readFile(file, 'utf8')).toBe('precious')
    expect(await complaint(makeBackup(join(root, 'nowhere'), join(root, 'x.tar')))).toMatchObject({
      message: expect.stringMatching(/no hub's data/),
    })
    expect(await complaint(makeBackup(dataDir, join(root, 'no', 'hub.tar')))).toMatchObject({
      name: 'KeepError',
      message: expect.stringMatching(/no folder/),
    })
  })
})

describe('restoring', { timeout: WITH_THREADS_MS }, () => {
  let file = ''
  beforeEach(async () => {
    file = join(root, 'hub.tar')
    await cp(join(made, 'hub.tar'), file)
  })

  it('puts what is there aside when asked to, and refuses otherwise', async () => {
    const parts = await open(dataDir)
    await parts.store.deleteRange(LIGHT, 0, NOW_MS)
    await parts.close()
    const without = await textOf(dataDir)
    expect(await complaint(restoreBackup(file, dataDir, { replace: false, knownVersions }))).toMatchObject({
      message: expect.stringMatching(/--replace/),
    })
    expect(await textOf(dataDir)).toBe(without)
    const { putAside } = await restoreBackup(file, dataDir, { replace: true, knownVersions })
    expect(await textOf(dataDir)).toContain(',light,')
    expect(await textOf(putAside!)).toBe(without)
  })

  it('never sets a database beside the log of another, which would be taken for its own', async () => {
    const target = await mkdtemp(join(root, 'target-'))
    await writeFile(join(target, 'garden.sqlite-wal'), 'of a garden that was deleted by hand')
    expect(await complaint(restoreBackup(file, target, { replace: false, knownVersions }))).toMatchObject({
      message: expect.stringMatching(/--replace/),
    })
    const { putAside } = await restoreBackup(file, target, { replace: true, knownVersions })
    expect(await readdir(putAside!)).toEqual(['garden.sqlite-wal'])
    expect(await textOf(target)).toBe(await textOf(dataDir))
  })

  it.each([
    [
      'a changed byte in a database',
      (whole: Buffer) => flipped(whole, Math.floor(whole.length * 0.7)),
      /checksum/,
    ],
    ['a changed byte in the manifest', (whole: Buffer) => flipped(whole, 530), /manifest|JSON|checksum/],
    ['a changed byte in a header', (whole: Buffer) => flipped(whole, 3), /no backup, or damaged/],
    ['half of it missing', (whole: Buffer) => whole.subarray(0, whole.length / 2), /cut off/],
    ['its end missing', (whole: Buffer) => whole.subarray(0, whole.length - 1_024), /cut off/],
    ['nothing in it', () => Buffer.alloc(0), /cut off/],
    ['another file', () => Buffer.from('a letter to a friend '.repeat(100)), /no backup/],
    ['zeros', () => Buffer.alloc(10_240), /no backup/],
  ])('refuses a file with %s, and changes nothing', async (_what, damage, why) => {
    await writeFile(file, damage(await readFile(file)))
    const target = await mkdtemp(join(root, 'target-'))
    const error = await complaint(restoreBackup(file, target, { replace: false, knownVersions }))
    expect(error).toBeInstanceOf(KeepError)
    expect((error as KeepError).message).toMatch(why)
    expect(await readdir(target)).toEqual([])
  })

  it('refuses a backup by a newer program, and a file that is not there', async () => {
    const target = await mkdtemp(join(root, 'target-'))
    const older = { ...knownVersions, 'garden.sqlite': 3 }
    expect(
      await complaint(restoreBackup(file, target, { replace: false, knownVersions: older })),
    ).toMatchObject({
      message: expect.stringMatching(/newer hearting/),
    })
    expect(
      await complaint(restoreBackup(join(root, 'no.tar'), target, { replace: false, knownVersions })),
    ).toMatchObject({ message: expect.stringMatching(/cannot be read/) })
  })
})

function flipped(whole: Buffer, at: number): Buffer {
  const copy = Buffer.from(whole)
  copy[at] = (copy[at] ?? 0) ^ 0x55
  return copy
}
