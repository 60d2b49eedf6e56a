import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { READING_COLUMNS, readReadingsCsv, writeReadingsCsv } from '../../hub/keep/readings-csv.js'
import { emptyRows } from '../../hub/store/stored-rows.js'

describe('readings.csv', () => {
  it('gives back every reading exactly, whatever its value, time and flags', async () => {
    const one = fc.record({
      // a time has no −0
      timeMs: fc.integer({ min: -8.64e15 + 1, max: 8.64e15 - 1 }).map((ms) => Math.trunc(ms / 2) + 0),
      value: fc.double({ noNaN: true, noDefaultInfinity: true }),
      flags: fc.integer({ min: 0, max: 127 }),
      delayMs: fc.integer({ min: -1e12, max: 1e12 }),
    })
    await fc.assert(
      fc.asyncProperty(
        fc.uniqueArray(one, { selector: ({ timeMs }) => timeMs, maxLength: 20 }),
        async (readings) => {
          const series = { garden: 'home', node: 'n1', quantity: 'air-temp' }
          const rows = emptyRows(readings.length)
          for (const [i, reading] of readings.entries()) {
            rows.timeMs[i] = reading.timeMs
            rows.value[i] = reading.value
            rows.flags[i] = reading.flags
            rows.delayMs[i] = reading.delayMs
          }
          const summary = { ...series, count: readings.length, firstMs: 0, lastMs: 0 }
          const store = {
            listSeries: async () => (readings.length > 0 ? [summary] : []),
            readStored: async () => rows,
          }
          const text = writeReadingsCsv(store, 'home')
          const back: number[][] = []
          for await (const part of readReadingsCsv(text, 'home', (problem) => expect.fail(problem))) {
            expect(part.series).toEqual(series)
            part.rows.timeMs.forEach((timeMs, i) => {
              back.push([timeMs, part.rows.value[i]!, part.rows.flags[i]!, part.rows.delayMs[i]!])
            })
          }
          // toEqual tells −0 from 0
          expect(back).toEqual(
            readings.map((reading) => [reading.timeMs, reading.value, reading.flags, reading.delayMs]),
          )
        },
      ),
    )
  })
})

describe('a long readings.csv', () => {
  async function* long(): AsyncGenerator<string, void> {
    yield `${READING_COLUMNS.join()}\r\n`
    for (let piece = 0; piece < 30; piece++) {
      let text = ''
      for (let i = 0; i < 1_000; i++) {
        const time = new Date(Date.UTC(2027, 0, 1) + (piece * 1_000 + i) * 60_000).toISOString()
        text += `home,n1,air-temp,${time},1,°C,,${time}\r\n`
      }
      yield text
    }
  }

  it('leaves nothing behind at each of its pieces', async () => {
    const warnings: Error[] = []
    const note = (warning: Error) => warnings.push(warning)
    process.on('warning', note)
    let readings = 0
    for await (const { rows } of readReadingsCsv(long(), 'home', (problem) => expect.fail(problem))) {
      readings += rows.timeMs.length
    }
    // warnings are told a turn later
    await new Promise((resolve) => setImmediate(resolve))
    process.off('warning', note)
    expect([readings, warnings]).toEqual([30_000, []])
  })

  it('fails with what is not its own fault, not with words about its lines', async () => {
    async function* broken(): AsyncGenerator<string, void> {
      yield `${READING_COLUMNS.join()}\r\n`
      throw new Error('the disk is gone')
    }
    const reading = (async () => {
      for await (const _ of readReadingsCsv(broken(), 'home', (problem) => expect.fail(problem)));
    })()
    await expect(reading).rejects.toThrow('the disk is gone')
  })
})
