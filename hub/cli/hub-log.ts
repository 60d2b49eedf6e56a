/** The hub's log on standard error: JSON lines for machines, plain lines where somebody is watching. */
import { Writable } from 'node:stream'
import pino from 'pino'
import { z } from 'zod'
import type { Config } from '../config.js'

const Line = z.looseObject({
  level: z.number(),
  time: z.number(),
  msg: z.string().default(''),
  err: z.looseObject({ message: z.string(), stack: z.string().optional() }).optional(),
})

/** Nothing logs these on purpose; if a later line does by mistake, the secret stays out of the log. */
const SECRETS = ['password', 'passphrase', 'newPassphrase', 'secret', 'token', 'cookie', 'authorization']
const REDACTED = SECRETS.flatMap((name) => [name, `*.${name}`, `*.*.${name}`, `*.*.*.${name}`])

export const logOptions = (level: Config['logLevel']): pino.LoggerOptions => ({
  level,
  base: null,
  redact: { paths: REDACTED, censor: '[secret]' },
})

export function hubLog(level: Config['logLevel'], isWatched = process.stderr.isTTY === true): pino.Logger {
  const options = logOptions(level)
  return isWatched
    ? pino(options, plainLines(process.stderr))
    : pino(options, pino.destination({ fd: 2, sync: true }))
}

/** Turns JSON lines into `14:03:07 warn  what happened (why) key=value`. */
export function plainLines(out: NodeJS.WritableStream): Writable {
  return new Writable({
    decodeStrings: false,
    write(chunk: string | Buffer, _encoding, done) {
      for (const text of chunk.toString().split('\n')) {
        if (text !== '') out.write(`${plainLine(text)}\n`)
      }
      done()
    },
  })
}

function plainLine(text: string): string {
  const { level, time, msg, err, ...rest } = Line.parse(JSON.parse(text))
  const clock = new Date(time).toTimeString().slice(0, 8)
  const name = (pino.levels.labels[level] ?? String(level)).padEnd(5)
  const why = err ? ` (${err.message})` : ''
  const details = Object.entries(rest).map(([key, value]) => ` ${key}=${JSON.stringify(value)}`)
  const stack = err?.stack !== undefined && level >= pino.levels.values.error! ? `\n${err.stack}` : ''
  return `${clock} ${name} ${msg}${why}${details.join('')}${stack}`
}
