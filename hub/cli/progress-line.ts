/** Progress of long work on a terminal; nothing where the output is read by a program. */
import { SingleBar } from 'cli-progress'

export interface ProgressLine {
  /** a new stretch of work; total 0: nobody knows how much it is */
  start(what: string, total: number, unit: string): void
  at(value: number): void
  stop(): void
}

export function progressLine(isShown: boolean): ProgressLine {
  if (!isShown) return { start() {}, at() {}, stop() {} }
  let bar: SingleBar | null = null
  const stop = (): void => {
    bar?.stop()
    bar = null
  }
  return {
    start(what, total, unit) {
      stop()
      bar = new SingleBar({
        format:
          total > 0
            ? ` ${what} {bar} {percentage} %  {value} of {total} ${unit}`
            : ` ${what}  {value} ${unit}, {duration_formatted}`,
        barCompleteChar: '█',
        barIncompleteChar: '░',
        barsize: 30,
        hideCursor: true,
        stream: process.stderr,
      })
      bar.start(total > 0 ? total : Number.MAX_SAFE_INTEGER, 0)
    },
    at: (value) => bar?.update(value),
    stop,
  }
}

export const isTerminal = (): boolean => process.stderr.isTTY === true

export const sizeText = (bytes: number): string =>
  bytes < 1_000_000 ? `${Math.ceil(bytes / 1000)} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`
