import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openTidyCsv, TidyCsvError, type TidyRow } from '../../hub/keep/tidy-csv.js'

let dir = ''
beforeAll(async () => {
  dir = await mkdtemp(join(tmpdir(), 'hearting-csv-'))
})
afterAll(() => rm(dir, { recursive: true, force: true }))

async function fileOf(content: string | Buffer, name = 'readings.csv'): Promise<string> {
  const path = join(dir, name)
  await writeFile(path, content)
  return path
}

async function rowsOf(content: string | Buffer, name?: string): Promise<TidyRow[]> {
  const rows: TidyRow[] = []
  for await (const row of (await openTidyCsv(await fileOf(content, name))).rows) rows.push(row)
  return rows
}

async function complaintAbout(content: string | Buffer, name?: string): Promise<TidyCsvError> {
  try {
    await rowsOf(content, name)
  } catch (error) {
    expect(error).toBeInstanceOf(TidyCsvError)
    return error as TidyCsvError
  }
  throw new Error('it should have complained')
}

describe('a tidy CSV', () => {
  it('gives its comments as keys, its columns, and its rows with empty cells left out', async () => {
    const path = await fileOf(
      '# site: a roof\n# note: a, b: "c\ntime,air_temp_c,light_lx\n2027-05-06T14:10:00+02:00,17.5,\n',
    )
    const file = await openTidyCsv(path)
    expect(file.meta).toEqual({ site: 'a roof', note: 'a,b: "c' })
    expect(file.columns).toEqual(['time', 'air_temp_c', 'light_lx'])
    const rows: TidyRow[] = []
    for await (const row of file.rows) rows.push(row)
    expect(rows).toEqual([{ timeMs: Date.UTC(2027, 4, 6, 12, 10), values: { air_temp_c: 17.5 } }])
  })

  it('takes a time without offset as UTC in a column named time_utc, and nowhere else', async () => {
    expect(await rowsOf('time_utc,air_temp_c\n2027-05-06T14:10,1\n')).toMatchObject([
      { timeMs: Date.UTC(2027, 4, 6, 14, 10) },
    ])
    const complaint = await complaintAbout('time,air_temp_c\n2027-05-06T14:10,1\n')
    expect(complaint.message).toMatch(/line 2: "2027-05-06T14:10" is not an ISO 8601 time with offset/)
  })

  it('reads what a spreadsheet saves: byte-order mark, CRLF, quoted cells, blank lines', async () => {
    expect(await rowsOf('\uFEFFtime,air_temp_c\r\n\r\n"2027-05-06 14:10:00Z","17.5"\r\n')).toEqual([
      { timeMs: Date.UTC(2027, 4, 6, 14, 10), values: { air_temp_c: 17.5 } },
    ])
  })

  it('unpacks a name that ends in .gz', async () => {
    const packed = gzipSync('time,air_temp_c\n2027-05-06T14:10:00Z,3\n')
    expect(await rowsOf(packed, 'a.csv.gz')).toHaveLength(1)
  })

  it.each([
    ['a time that is no date', 'time,air_temp_c\nyesterday,1\n', 2, /"yesterday" is not an ISO 8601 time/],
    ['a date that does not exist', 'time,air_temp_c\n2027-13-06T14:10:00Z,1\n', 2, /2027-13-06/],
    [
      'a number that is none',
      '# a\ntime,lux\n2027-05-06T14:10:00Z,12\n2027-05-06T14:11:00Z,1o\n',
      4,
      /"1o" in column lux/,
    ],
    ['NaN and infinity', 'time,lux\n2027-05-06T14:10:00Z,Infinity\n', 2, /"Infinity" in column lux/],
    ['a short row', 'time,air_temp_c,lux\n2027-05-06T14:10:00Z,1\n', 2, /2 cells, but the header has 3/],
    ['a long row', 'time,lux\n2027-05-06T14:10:00Z,1,2\n', 2, /3 cells, but the header has 2/],
    ['a table of days', '# daily\ndate,tmin_c\n2027-05-06,1\n', 2, /table of days/],
    ['no time column', 'hour,lux\n1,2\n', 1, /no column "time".*hour, lux/],
  ])('complains about %s and names the line', async (_what, content, line, message) => {
    const complaint = await complaintAbout(content)
    expect(complaint.message).toMatch(message)
    expect(complaint.line).toBe(line)
  })

  it('leaves cells of columns that nobody asked for alone', async () => {
    expect(await rowsOf('time,lux,remark\n2027-05-06T14:10:00Z,1,foggy\n')).toMatchObject([
      { values: { lux: 1 } },
    ])
  })

  it('complains about an empty file, a missing one, a folder, and a broken gzip', async () => {
    expect((await complaintAbout('')).message).toMatch(/no header line/)
    await expect(openTidyCsv(join(dir, 'absent.csv'))).rejects.toThrow(/absent\.csv: no such file/)
    await expect(openTidyCsv(dir)).rejects.toThrow(/is a folder/)
    expect((await complaintAbout('time,lux\n', 'broken.csv.gz')).message).toMatch(/not whole gzip/)
    const cut = gzipSync(`time,lux\n${'2027-05-06T14:10:00Z,1\n'.repeat(5_000)}`).subarray(0, 60)
    expect((await complaintAbout(cut, 'cut.csv.gz')).message).toMatch(/not whole gzip/)
  })
})
