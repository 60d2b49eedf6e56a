/** Writes to the readings database without pause, two readings a commit, until it is killed. Argument: data folder. */
import { join } from 'node:path'
import { encodeBatch } from '../../hub/store/sqlite/reading-batch.js'
import { openReadingsWriter } from '../../hub/store/sqlite/readings-writer.js'

const writer = openReadingsWriter(join(process.argv[2]!, 'readings.sqlite'))
let timeMs = Date.UTC(2027, 0, 1)
const write = (): void => {
  for (let i = 0; i < 20; i++) {
    timeMs += 1_000
    const both = ['left', 'right'].map((node) => ({
      garden: 'home',
      node,
      quantity: 'air-temp',
      timeMs,
      value: 1,
      flags: 0,
    }))
    writer.append(encodeBatch(both), timeMs)
  }
  process.stdout.write('.')
  setImmediate(write)
}
write()
