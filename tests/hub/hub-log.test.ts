import { PassThrough } from 'node:stream'
import { text } from 'node:stream/consumers'
import pino from 'pino'
import { describe, expect, it } from 'vitest'
import { plainLines } from '../../hub/cli/hub-log.js'

describe('the log where somebody is watching', () => {
  it('says when, how grave, what, why and of which thing, in a line', async () => {
    const out = new PassThrough()
    const log = pino({ base: null }, plainLines(out))
    log.info({ garden: 'home' }, 'readings arrive')
    log.warn({ err: new Error('no answer') }, 'not ready')
    log.error({ err: new Error('broken') }, 'unexpected')
    out.end()
    const lines = (await text(out)).split('\n')
    expect(lines[0]).toMatch(/^\d\d:\d\d:\d\d info {2}readings arrive garden="home"$/)
    expect(lines[1]).toMatch(/^\d\d:\d\d:\d\d warn {2}not ready \(no answer\)$/)
    expect(lines[2]).toMatch(/^\d\d:\d\d:\d\d error unexpected \(broken\)$/)
    // only what nobody foresaw comes with its stack
    expect(lines[3]).toBe('Error: broken')
    expect(lines[4]).toMatch(/^ {4}at /)
  })
})
