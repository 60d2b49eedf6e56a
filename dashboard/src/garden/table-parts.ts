/**
 * A table of readings cut into parts that each are a table of their own: its head (comments and the header) and some lines. Small
 * enough that each is answered soon, so that what is told of the progress is what the hub has stored. Pure.
 */

export interface TablePart {
  readonly csv: string
  /** add this to the line of a part to have that of the file */
  readonly lineOffset: number
}

/** @param linesAPart  besides the head */
export async function* tableParts(
  pieces: AsyncIterable<string>,
  linesAPart: number,
): AsyncGenerator<TablePart, void> {
  const head: string[] = []
  let hasHeader = false
  let lines: string[] = []
  let before = 0
  const part = (): TablePart => ({ csv: [...head, ...lines, ''].join('\n'), lineOffset: before })
  for await (const line of linesOf(pieces)) {
    if (!hasHeader) {
      head.push(line)
      hasHeader = line.trim() !== '' && !/^\s*"?#/.test(line)
      continue
    }
    lines.push(line)
    if (lines.length < linesAPart) continue
    yield part()
    before += lines.length
    lines = []
  }
  // a file without rows goes too: the hub says what is wrong with it
  if (lines.length > 0 || before === 0) yield part()
}

async function* linesOf(pieces: AsyncIterable<string>): AsyncGenerator<string, void> {
  let rest = ''
  for await (const piece of pieces) {
    const lines = (rest + piece).split('\n')
    rest = lines.pop() ?? ''
    for (const line of lines) yield line.replace(/\r$/, '')
    // a file without ends of lines is no table: the hub is to say so, not this page's memory to give out
    if (rest.length > 1_000_000) break
  }
  if (rest !== '') yield rest
}
