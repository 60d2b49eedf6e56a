import { randomUUID } from 'node:crypto'
import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { parse } from 'csv-parse/sync'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { type OwnParts, openOwnParts } from '../../hub/cli/own-parts.js'
import { progressLine } from '../../hub/cli/progress-line.js'
import { takeExport } from '../../hub/cli/take-export.js'
import { Config } from '../../hub/config.js'
import { LEFT_OUT_TABLES, LIST_TABLES, OTHER_EXPORTED_TABLES } from '../../hub/garden/sqlite/garden-tables.js'
import { DAY_COLUMNS } from '../../hub/keep/days-csv.js'
import { EXPORT_FILES, type ExportFile, writeExportFolder } from '../../hub/keep/export-folder.js'
import { KeepError } from '../../hub/keep/port.js'
import { READING_COLUMNS } from '../../hub/keep/readings-csv.js'
import { fillGarden, NOW_MS, oddReadings } from './full-garden.js'

const quiet = progressLine(false)
let root = ''
/** an export of a full garden, made once; tests work on copies of it */
let whole = ''
let original: OwnParts
let opened: OwnParts[] = []
beforeAll(async () => {
  root = await mkdtemp(join(tmpdir(), 'hearting-keep-'))
  original = await open('original')
  opened = []
  await fillGarden(original)
  whole = await exported(original, 'whole')
}, 120_000)
afterEach(async () => {
  for (const parts of opened) await parts.close()
  opened = []
})
afterAll(async () => {
  await original?.close()
  await rm(root, { recursive: true, force: true })
})

let copies = 0
async function copyOfWhole(): Promise<string> {
  const dir = join(root, `copy-${copies++}`)
  await cp(whole, dir, { recursive: true })
  return dir
}

async function open(name: string): Promise<OwnParts> {
  const parts = await openOwnParts(Config.parse({ dataDir: join(root, name) }), () => NOW_MS)
  if (!parts) throw new Error('the folder is in use')
  opened.push(parts)
  return parts
}

async function exported(parts: OwnParts, name: string): Promise<string> {
  const dir = join(root, name)
  await writeExportFolder(dir, (file) => {
    if (file === 'garden.json') return parts.keep.gardenJson('home')
    return file === 'days.csv' ? parts.keep.daysCsv('home') : parts.keep.readingsCsv('home')
  })
  return dir
}

const textOf = (dir: string, file: ExportFile | 'SHA256SUMS') => readFile(join(dir, file), 'utf8')

async function complaint(work: Promise<unknown>): Promise<KeepError> {
  const error = await work.then(
    () => null,
    (reason: unknown) => reason,
  )
  expect(error).toBeInstanceOf(KeepError)
  return error as KeepError
}

describe('an export taken in by an empty hub', () => {
  it('gives the same bytes when it is exported again: garden, readings, day records', async () => {
    const first = whole
    const copy = await open('copy')
    const taken = await takeExport(first, copy, false, quiet)
    const readings = oddReadings().length
    expect(taken).toMatchObject({
      garden: 'home',
      isNewGarden: true,
      readings,
      stored: readings,
      repeated: 0,
    })
    const second = await exported(copy, 'second')
    for (const file of [...EXPORT_FILES, 'SHA256SUMS'] as const) {
      expect(await textOf(second, file), file).toBe(await textOf(first, file))
    }
    // and the copy says what the original says
    expect(await copy.garden.dumpGarden('home')).toEqual(await original.garden.dumpGarden('home'))
    expect((await textOf(first, 'days.csv')).split('\r\n').length).toBeGreaterThan(6)
  })

  it('may be repeated, and goes on where it was broken off', async () => {
    const dir = await copyOfWhole()
    const again = await takeExport(dir, original, false, quiet)
    expect(again).toMatchObject({ isNewGarden: false, stored: 0, repeated: oddReadings().length })
    const copy = await open('copy-again')
    await takeExport(dir, copy, false, quiet)
    const series = { garden: 'home', node: 'n1', quantity: 'light' }
    const deleted = await copy.store.deleteRange(series, 0, NOW_MS)
    expect(deleted).toBeGreaterThan(100)
    expect(await takeExport(dir, copy, false, quiet)).toMatchObject({ isNewGarden: false, stored: deleted })
  })

  it('does not mix with a garden of other data, but adds its readings where that is asked for', async () => {
    const dir = await copyOfWhole()
    const other = await open('other')
    await fillGarden(other)
    await other.store.deleteRange({ garden: 'home', node: 'n2', quantity: 'co2' }, 0, NOW_MS)
    const before = await other.garden.dumpGarden('home')
    expect((await complaint(takeExport(dir, other, false, quiet))).message).toMatch(
      /nothing was changed.*--readings-only/,
    )
    expect(await takeExport(dir, other, true, quiet)).toMatchObject({ isNewGarden: false, stored: 9 })
    expect(await other.garden.dumpGarden('home')).toEqual(before)
    const empty = await open('nothing')
    expect((await complaint(takeExport(dir, empty, true, quiet))).message).toMatch(/no garden "home"/)
  })
})

describe('an import that is broken off', () => {
  it('among the readings has the garden whole, and goes on where it was when it is started again', async () => {
    const copy = await open('broken-off')
    let isStoring = false
    const breaking = {
      ...quiet,
      start(what: string): void {
        isStoring = what === 'storing'
      },
      at(value: number): void {
        if (isStoring && value > 0) throw new Error('the power went')
      },
    }
    await expect(takeExport(whole, copy, false, breaking)).rejects.toThrow('the power went')
    expect(await copy.garden.dumpGarden('home')).toEqual(await original.garden.dumpGarden('home'))
    const some = (await copy.store.listSeries('home')).reduce((sum, { count }) => sum + count, 0)
    expect(some).toBeGreaterThan(0)
    expect(some).toBeLessThan(oddReadings().length)
    expect(await takeExport(whole, copy, false, quiet)).toMatchObject({
      isNewGarden: false,
      stored: oddReadings().length - some,
      repeated: some,
    })
    const second = await exported(copy, 'after-breaking-off')
    expect(await textOf(second, 'SHA256SUMS')).toBe(await textOf(whole, 'SHA256SUMS'))
  })

  it('within the garden leaves nothing of it', async () => {
    const copy = await open('crowded')
    const dir = await copyOfWhole()
    await rm(join(dir, 'SHA256SUMS'))
    // as another garden, but placements have the ids of the first one's: that comes to light in the middle of the file
    const asAway = (text: string): string =>
      text.replace('"id":"home"', '"id":"away"').replace(/"uuid":"[^"]*"/, `"uuid":"${randomUUID()}"`)
    await writeFile(join(dir, 'garden.json'), asAway(await textOf(dir, 'garden.json')))
    const readings = await textOf(dir, 'readings.csv')
    await writeFile(join(dir, 'readings.csv'), readings.replaceAll(/^home,/gm, 'away,'))
    await takeExport(whole, copy, false, quiet)
    const refused = await complaint(takeExport(dir, copy, false, quiet))
    expect(refused.message).toMatch(/garden\.json, line \d+: another garden of this hub has this id already/)
    expect((await copy.garden.listGardens()).map((garden) => garden.id)).toEqual(['home'])
    expect(await copy.store.listSeries('away')).toEqual([])
  })
})

describe('the files of an export', () => {
  it('hold no secret', async () => {
    const dir = whole
    for (const file of EXPORT_FILES) expect(await textOf(dir, file)).not.toMatch(/nobody-should-see/)
    expect(await textOf(dir, 'garden.json')).toMatch(/grower@example\.org/)
  })

  it('are JSON and RFC 4180 to programs that know nothing of hearting', async () => {
    const dir = whole
    const json = JSON.parse(await textOf(dir, 'garden.json'))
    expect(json).toMatchObject({ format: 'hearting garden', version: 1 })
    expect(json.photos).toHaveLength(2)
    expect(json.garden.name).toMatch(/Bed "A", under\nthe quince; =SUM\(1\)/)
    // strict: CRLF and nothing else, every row as long as the header
    const strict = { recordDelimiter: '\r\n', relaxColumnCount: false, relaxQuotes: false }
    const readings = parse(await textOf(dir, 'readings.csv'), strict) as string[][]
    expect(readings[0]).toEqual(READING_COLUMNS)
    expect(readings).toHaveLength(oddReadings().length + 1)
    expect(readings.filter((row) => row[2] === 'co2').map((row) => Number(row[4]))).toContain(5e-324)
    expect(readings.find((row) => row[6] === 'range sentinel')?.[5]).toBe('°C')
    const days = parse(await textOf(dir, 'days.csv'), strict) as string[][]
    expect(days[0]).toEqual(DAY_COLUMNS)
    expect(days.some((row) => row[1] === 'a' && row[2] === '2027-03-25')).toBe(true)
    expect(days.some((row) => row[1] === 'b' && row[2] === '2027-03-28')).toBe(true)
  })

  it('hold every table of the garden database, or it is said why not', async () => {
    const db = new Database(join(root, 'original', 'garden.sqlite'), { readonly: true })
    const tables = db
      .prepare(
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name",
      )
      .pluck()
      .all()
    const columns = (table: string) =>
      db.prepare(`SELECT name FROM pragma_table_info('${table}') WHERE name <> 'garden'`).pluck().all().sort()
    const listed = Object.values(LIST_TABLES).map(({ table }) => table)
    expect([...listed, ...OTHER_EXPORTED_TABLES, ...Object.keys(LEFT_OUT_TABLES)].sort()).toEqual(tables)
    // … and every column of it
    for (const { table, columns: exportedColumns } of Object.values(LIST_TABLES)) {
      expect(
        Object.values(exportedColumns)
          .map(([column]) => column)
          .sort(),
        table,
      ).toEqual(columns(table))
    }
    db.close()
  })
})

describe('an export that is not whole, or not right', () => {
  let dir = ''
  // one for all of them: nothing that is refused leaves a trace in it
  let empty: OwnParts
  beforeAll(async () => {
    empty = await open('empty')
    opened = []
  }, 120_000)
  beforeEach(async () => {
    dir = await copyOfWhole()
  })
  afterAll(() => empty?.close())

  const change = async (file: ExportFile, edit: (text: string) => string): Promise<void> => {
    await rm(join(dir, 'SHA256SUMS'), { force: true })
    await writeFile(join(dir, file), edit(await textOf(dir, file)))
  }
  const refused = async (): Promise<KeepError> => {
    const error = await complaint(takeExport(dir, empty, false, quiet))
    // all or nothing: not a trace of it
    expect(await empty.garden.listGardens()).toEqual([])
    expect(await empty.store.listSeries('home')).toEqual([])
    return error
  }

  it('is told by checksums that do not name each of its files', async () => {
    await writeFile(
      join(dir, 'SHA256SUMS'),
      (await textOf(dir, 'SHA256SUMS')).replace(/^.*readings\.csv\n/m, ''),
    )
    expect((await refused()).message).toMatch(/readings\.csv is not as it was written/)
  })

  it('is told by its checksum', async () => {
    await writeFile(join(dir, 'readings.csv'), (await textOf(dir, 'readings.csv')).replace('8', '9'))
    expect((await refused()).message).toMatch(/not as it was written/)
  })

  it.each([
    ['cut off within a record', (text: string) => text.slice(0, text.length / 2), /not JSON|cut off/],
    [
      'cut off at the end of a line',
      (text: string) => text.slice(0, text.lastIndexOf('"photos"')),
      /cut off/,
    ],
    ['empty', () => '', /cut off/],
    ['something else', () => '<html></html>', /not laid out/],
    ['of a newer version', (text: string) => text.replace('"version":1', '"version":2'), /newer one/],
    [
      'without a part',
      (text: string) => text.replace(/^"mutes":\[\n.*\n.*\n\],\n/m, ''),
      /does not belong here/,
    ],
    ['with more behind its end', (text: string) => `${text}more\n`, /goes on after its end/],
  ])('is refused with its garden.json %s', async (_what, edit, why) => {
    await change('garden.json', edit)
    expect((await refused()).message).toMatch(why)
  })

  it('names each line and field of its garden.json that cannot be', async () => {
    await change('garden.json', (text) =>
      text
        .replace('"kind":"raised"', '"kind":"flying"')
        .replace('"entry":"entry-cut-1"', '"entry":"nobody"')
        .replace('"plants":9', '"plants":-9'),
    )
    const { problems } = await refused()
    expect(problems).toEqual([
      expect.stringMatching(/line \d+, beds\.kind: use one of: raised, container, ground$/),
      expect.stringMatching(/line \d+, plantings\.plants: must be more than 0$/),
      expect.stringMatching(/line \d+, photos\.entry: there is no "nobody"/),
    ])
  })

  it('names the lines of its readings.csv that cannot be, twenty at most', async () => {
    await change('readings.csv', (text) => text.replaceAll('°C', 'K'))
    const { problems } = await refused()
    expect(problems).toHaveLength(20)
    expect(problems[0]).toBe('readings.csv, line 2: air-temp is in °C, not "K"')
  })

  it.each([
    [
      'a number that is none',
      (text: string) => text.replace(/,[\d.]+,°C/, ',warm,°C'),
      /"warm" is not a number/,
    ],
    [
      'a line without end',
      (text: string) => `${text}${'x'.repeat(10_000)}`,
      /line \d+ is longer than 2000 characters/,
    ],
    ['another garden’s line', (text: string) => text.replace(/^home,/m, 'away,'), /of the garden "away"/],
    ['another header', (text: string) => text.replace('quantity', 'what'), /the header must be/],
    ['nothing', () => '', /empty/],
    ['an unknown flag', (text: string) => text.replace(',clock,', ',tired,'), /"tired" is no flag/],
  ])('is refused for %s in its readings.csv', async (_what, edit, why) => {
    await change('readings.csv', edit)
    expect((await refused()).problems.join('\n')).toMatch(why)
  })

  it('is refused when it is not UTF-8', async () => {
    const text = await textOf(dir, 'garden.json')
    await change('garden.json', () => text)
    await writeFile(join(dir, 'garden.json'), Buffer.from(text, 'latin1'))
    expect((await refused()).message).toMatch(/not UTF-8/)
  })

  it('is taken with the ends of lines of another system, and a byte-order mark', async () => {
    await change('garden.json', (text) => `\ufeff${text.replaceAll('\n', '\r\n')}`)
    await change('readings.csv', (text) => `\ufeff${text.replaceAll('\r\n', '\n')}`)
    expect(await takeExport(dir, await open('other-ends'), false, quiet)).toMatchObject({ isNewGarden: true })
  })
})
