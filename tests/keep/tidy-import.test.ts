import { setTimeout as sleep } from 'node:timers/promises'
import { gzipSync } from 'node:zlib'
import fc from 'fast-check'
import Fastify from 'fastify'
import type { ZodTypeProvider } from 'fastify-type-provider-zod'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { takeCsv } from '../../hub/api/routes/import.js'
import { openTidyCsv, stampShiftMs, TidyCsvError } from '../../hub/keep/tidy-csv.js'
import { takeTidyCsv } from '../../hub/keep/tidy-intake.js'
import type { Reading } from '../../hub/store/port.js'
import { FLAG } from '../../shared/quality-flags.js'
import { type ApiFixture, NOW_MS, openApi } from '../api/api-fixture.js'
import { hasReferenceData, referencePath, skipNote } from '../support/reference-data.js'

async function* bytesOf(...pieces: (string | Buffer)[]): AsyncGenerator<Uint8Array, void> {
  for (const piece of pieces) yield Buffer.from(piece)
}

/** What becomes of a table, and the readings that were stored. */
async function taken(...pieces: (string | Buffer)[]) {
  const stored: Reading[] = []
  let commits = 0
  const report = await takeTidyCsv(
    {
      now: () => NOW_MS,
      storeReadings: async (readings) => {
        commits++
        stored.push(...readings)
        return { stored: readings.length, repeated: 0 }
      },
    },
    'home',
    'n1',
    bytesOf(...pieces),
  )
  return { report, stored, commits }
}

const HEADER = 'time,air_temp_c,light_lx\n'
const row = (minute: number, air: string | number, light: string | number = ''): string =>
  `2027-05-06T10:${String(minute).padStart(2, '0')}:00Z,${air},${light}\n`

describe('measured history brought in', () => {
  it('becomes readings of the node', async () => {
    const { report, stored } = await taken(HEADER, row(0, 12.5, 900), row(1, ''))
    expect(stored).toEqual([
      {
        garden: 'home',
        node: 'n1',
        quantity: 'air-temp',
        timeMs: Date.UTC(2027, 4, 6, 10),
        value: 12.5,
        flags: 0,
      },
      {
        garden: 'home',
        node: 'n1',
        quantity: 'light',
        timeMs: Date.UTC(2027, 4, 6, 10),
        value: 900,
        flags: 0,
      },
    ])
    expect(report).toMatchObject({
      rows: 2,
      readings: 2,
      stored: 2,
      from: '2027-05-06T10:00:00.000Z',
      faultyLines: 0,
    })
  })

  it('tells each line at fault and stores the others', async () => {
    const { report, stored } = await taken(
      '# a comment\n',
      HEADER,
      row(0, 1),
      row(1, 'warm'),
      'yesterday,3,\n',
      '2027-05-06T10:02:00Z,3\n',
      row(3, 4),
    )
    expect(stored.map(({ value }) => value)).toEqual([1, 4])
    expect(report.faultyLines).toBe(3)
    expect(report.faults).toEqual([
      { line: 4, message: '"warm" in column air_temp_c is not a number' },
      { line: 5, message: expect.stringMatching(/"yesterday" is not an ISO 8601 time/) },
      { line: 6, message: '2 cells, but the header has 3 columns' },
    ])
  })

  it('leaves columns aside that are called as something is in JavaScript', async () => {
    const { report, stored } = await taken('time,constructor,air_temp_c\n2027-05-06T10:00:00Z,1,2\n')
    expect(stored.map(({ quantity, value }) => [quantity, value])).toEqual([['air-temp', 2]])
    expect(report.faults).toEqual([])
    await expect(taken('time,toString\n2027-05-06T10:00:00Z,1\n')).rejects.toThrow(/no column that is known/)
  })

  it('lists the first fifty of many faults, and counts all', async () => {
    const { report } = await taken(HEADER, 'x,1,2\n'.repeat(200), row(1, 5))
    expect(report.faults).toHaveLength(50)
    expect(report).toMatchObject({ faultyLines: 200, stored: 1 })
  })

  it('doubts no time for its age or its year, only the future', async () => {
    const { stored, report } = await taken(
      HEADER,
      '1998-05-01T10:00:00Z,11,\n2000-06-01T10:00:00Z,12,\n2031-01-01T00:00:00Z,13,\n2020-01-01T00:00:00Z,85,\n',
    )
    expect(stored.map(({ flags }) => flags)).toEqual([0, 0, FLAG.clock, FLAG.sentinel])
    expect(report.doubted).toBe(2)
  })

  it.each([
    ['end', -900_000],
    ['end of interval', -900_000],
    ['start', 900_000],
    ['instant', 0],
  ])('moves rows stamped with the %s of half an hour by %i ms', async (stamp, shiftMs) => {
    const { stored } = await taken(`# step_seconds: 1800\n# stamp: ${stamp}\n`, HEADER, row(30, 7))
    expect(stored[0]?.timeMs).toBe(Date.UTC(2027, 4, 6, 10, 30) + shiftMs)
  })

  it('wants to know how long the rows are that bear the time of their end', async () => {
    await expect(taken('# stamp: end\n', HEADER, row(0, 1))).rejects.toThrow(/step_seconds/)
    await expect(taken('# stamp: end\n# step_seconds: soon\n', HEADER, row(0, 1))).rejects.toThrow(
      /step_seconds/,
    )
  })

  it('takes a leap second for the second after it', async () => {
    const { stored } = await taken(
      HEADER,
      '2016-12-31T23:59:59Z,1,\n2016-12-31T23:59:60Z,2,\n2016-12-31T23:59:60.500Z,3,\n',
    )
    expect(stored.map(({ timeMs }) => new Date(timeMs).toISOString())).toEqual([
      '2016-12-31T23:59:59.000Z',
      '2017-01-01T00:00:00.000Z',
      '2017-01-01T00:00:00.500Z',
    ])
  })

  it('keeps both hours apart that clocks show twice in autumn', async () => {
    const { stored } = await taken(HEADER, '2026-10-25T02:30:00+02:00,1,\n2026-10-25T02:30:00+01:00,2,\n')
    expect(stored[1]!.timeMs - stored[0]!.timeMs).toBe(3_600_000)
  })

  it('holds a few thousand readings in memory, not the file', { timeout: 120_000 }, async () => {
    let waiting = 0
    let most = 0
    async function* long(): AsyncGenerator<Uint8Array, void> {
      yield Buffer.from(HEADER)
      for (let block = 0; block < 300; block++) {
        waiting++
        most = Math.max(most, waiting)
        let text = ''
        for (let i = 0; i < 500; i++) {
          text += `${new Date(Date.UTC(2020, 0, 1) + (block * 500 + i) * 60_000).toISOString()},${i % 30},${i}\n`
        }
        yield Buffer.from(text)
      }
    }
    const report = await takeTidyCsv(
      {
        now: () => NOW_MS,
        async storeReadings(readings) {
          // a slow disk: the file must wait for it
          await new Promise((resolve) => setImmediate(resolve))
          expect(readings.length).toBeLessThan(5_010)
          waiting = 0
          return { stored: readings.length, repeated: 0 }
        },
      },
      'home',
      'n1',
      long(),
    )
    expect(report.stored).toBe(300_000)
    // blocks of 500 lines read ahead of the disk
    expect(most).toBeLessThan(100)
  })

  it.each([
    ['nothing', ''],
    ['a page', '<html><body>no</body></html>'],
    ['a table of days', 'date,min,max\n2027-05-01,1,2\n'],
    ['no column that is known', 'time,wind\n2027-05-06T10:00:00Z,3\n'],
    ['an endless line', 'x'.repeat(300_000)],
    ['UTF-16', Buffer.from('\ufefftime,air_temp_c\n', 'utf16le')],
    ['Latin-1', Buffer.concat([Buffer.from('# Grünkohl\n', 'latin1'), Buffer.from(HEADER)])],
    ['a photo', Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16, 0x4a, 0x46])],
  ])('refuses %s as a file, in words', async (_what, content) => {
    await expect(taken(content)).rejects.toBeInstanceOf(TidyCsvError)
  })

  it('never fails otherwise than in words, whatever comes', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.oneof(fc.string(), fc.constant(row(1, 2)), fc.constant('"')), { maxLength: 20 }),
        fc.boolean(),
        async (lines, hasHeader) => {
          try {
            const { report } = await taken(hasHeader ? HEADER : '', ...lines.map((line) => `${line}\n`))
            expect(report.stored).toBe(report.readings)
          } catch (error) {
            expect(error).toBeInstanceOf(TidyCsvError)
          }
        },
      ),
      { numRuns: 200 },
    )
  })
})

describe.skipIf(!hasReferenceData)(`real tables${skipNote}`, () => {
  it('that stamp the end of half hours have their noon where the sun has it', async () => {
    const path = referencePath('tharandt-30min/tharandt-1998.tidy.csv.gz')
    const file = await openTidyCsv(path)
    const shiftMs = stampShiftMs(path, file.meta)
    expect(shiftMs).toBe(-900_000)
    // centre of the light of June: solar noon at 13.6° E is 11:06 UTC plus the equation of time of June (+0 to +3 min)
    let sum = 0
    let weighted = 0
    for await (const { timeMs, values } of file.rows) {
      const at = new Date(timeMs + shiftMs)
      if (at.getUTCMonth() !== 5) continue
      const light = Math.max(0, values.ghi_w_m2 ?? 0)
      sum += light
      weighted += light * (at.getUTCHours() + at.getUTCMinutes() / 60)
    }
    // clouds move the centre by some minutes either way; half a step is fifteen
    expect(Math.abs(weighted / sum - 11.12)).toBeLessThan(0.2)
  })

  it.each([
    ['surfrad-alamosa-1min/surfrad-slv16001.tidy.csv.gz', -30_000],
    ['dtu-lyngby-1min/dtu_2017_06.tidy.csv.gz', 30_000],
    ['winters-hourly/winters-2008.tidy.csv.gz', 0],
  ])('%s: times are moved by %i ms', async (name, shiftMs) => {
    const path = referencePath(name)
    expect(stampShiftMs(path, (await openTidyCsv(path)).meta)).toBe(shiftMs)
  })
})

describe('the address for history', () => {
  let api: ApiFixture
  beforeAll(async () => {
    api = await openApi()
    await api.setUpHome()
  })
  afterAll(() => api.close())

  const send = async (payload: string | Buffer, type = 'text/csv', query = '?node=n1') => {
    const response = await api.app.inject({
      method: 'POST',
      url: `/api/v1/gardens/home/readings-import${query}`,
      payload,
      headers: { 'content-type': type },
    })
    return { status: response.statusCode, body: response.json() }
  }

  it('stores what is sent, doubles nothing, and forgets day records that it touches', async () => {
    const days = async () =>
      (await api.ask('GET', 'gardens/home/beds/long/days?from=2027-05-06&to=2027-05-06')).body
    expect((await days())[0].airTempMaxC).toBe(null)
    const table = HEADER + Array.from({ length: 60 }, (_, i) => row(i, 10 + i / 10)).join('')
    expect(await send(table)).toMatchObject({ status: 200, body: { rows: 60, stored: 60, repeated: 0 } })
    expect((await days())[0].airTempMaxC).toBe(15.9)
    expect(await send(gzipSync(table), 'application/gzip')).toMatchObject({
      status: 200,
      body: { stored: 0, repeated: 60 },
    })
  })

  it.each([
    ['no table', '<html>', 'text/csv', '?node=n1', 400, 'INVALID_INPUT'],
    ['not packed', 'time', 'application/gzip', '?node=n1', 400, 'INVALID_INPUT'],
    ['JSON', '{}', 'application/json', '?node=n1', 415, 'NOT_A_TABLE'],
    ['a form', 'a=1', 'application/x-www-form-urlencoded', '?node=n1', 415, 'NOT_A_TABLE'],
    ['no node', HEADER, 'text/csv', '', 400, 'INVALID_INPUT'],
    ['a node that cannot be', HEADER, 'text/csv', '?node=N%201', 400, 'INVALID_INPUT'],
  ])('answers %s in words', async (_what, payload, type, query, status, code) => {
    expect(await send(payload, type, query)).toMatchObject({ status, body: { code } })
  })

  it('keeps running when a body breaks before anybody has read of it', async () => {
    const app = Fastify().withTypeProvider<ZodTypeProvider>()
    const read: string[] = []
    takeCsv(app)
    app.post<{ Body: AsyncIterable<Buffer> }>('/', async ({ body }) => {
      await sleep(50)
      try {
        for await (const chunk of body) read.push(chunk.toString())
      } catch (error) {
        read.push(error instanceof Error && 'code' in error ? String(error.code) : String(error))
      }
      return read
    })
    const headers = { 'content-type': 'application/gzip' }
    await app.inject({ method: 'POST', url: '/', headers, payload: 'time,air_temp_c' })
    expect(read).toEqual(['Z_DATA_ERROR'])
    await app.close()
  })

  it('stores nothing of a table whose size alone is too much', async () => {
    // more than a commit of readings before what is too much
    const rows = Array.from({ length: 6_000 }, (_, i) => `${new Date(i * 60_000).toISOString()},1,2\n`).join(
      '',
    )
    const padding = `# ${'x'.repeat(50_000)}\n`.repeat(340)
    expect(await send(HEADER + rows + padding, 'text/csv', '?node=large')).toMatchObject({
      status: 413,
      body: { code: 'BODY_TOO_LARGE', detail: expect.stringMatching(/16 MiB/) },
    })
    const { store } = api.deps
    expect((await store.listSeries('home')).filter(({ node }) => node === 'large')).toEqual([])
  })

  it('does not unpack without end', async () => {
    const bomb = gzipSync(
      Buffer.concat([Buffer.from(HEADER), Buffer.from(`# ${'x'.repeat(50_000)}\n`.repeat(360))]),
    )
    expect(bomb.length).toBeLessThan(200_000)
    expect(await send(bomb, 'application/gzip')).toMatchObject({
      status: 413,
      body: { code: 'BODY_TOO_LARGE' },
    })
  })
})
