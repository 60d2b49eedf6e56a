/** Bytes of a file as text and as lines: strictly UTF-8, a line never longer than it may be. */

/** @throws TypeError  the bytes are not UTF-8 */
export async function* utf8Text(bytes: AsyncIterable<Uint8Array>): AsyncGenerator<string, void> {
  // a byte-order mark is left out by the decoder
  const decoder = new TextDecoder('utf-8', { fatal: true })
  for await (const some of bytes) {
    const text = decoder.decode(some, { stream: true })
    if (text !== '') yield text
  }
  const rest = decoder.decode()
  if (rest !== '') yield rest
}

/** Is it what utf8Text throws? */
export const isNotUtf8 = (error: unknown): boolean =>
  error instanceof TypeError && 'code' in error && error.code === 'ERR_ENCODING_INVALID_ENCODED_DATA'

export interface TextLine {
  readonly number: number
  readonly text: string
  /** false: the file ends without an end of this line */
  readonly isWhole: boolean
}

/**
 * Lines without their ends (LF or CRLF).
 *
 * @throws RangeError  a line is longer than `longest` characters
 */
export async function* textLines(
  pieces: AsyncIterable<string>,
  longest: number,
): AsyncGenerator<TextLine, void> {
  let parts: string[] = []
  let length = 0
  let number = 1
  const check = (): void => {
    if (length > longest) throw new RangeError(`line ${number} is longer than ${longest} characters`)
  }
  for await (const piece of pieces) {
    let from = 0
    for (let end = piece.indexOf('\n'); end >= 0; end = piece.indexOf('\n', from)) {
      parts.push(piece.slice(from, end))
      length += end - from
      check()
      yield { number: number++, text: parts.join('').replace(/\r$/, ''), isWhole: true }
      parts = []
      length = 0
      from = end + 1
    }
    if (from < piece.length) {
      parts.push(piece.slice(from))
      length += piece.length - from
      check()
    }
  }
  if (length > 0) yield { number, text: parts.join(''), isWhole: false }
}
