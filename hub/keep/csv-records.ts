/** Records of a CSV as they are asked for: the text is read no faster than that. */
import { Readable } from 'node:stream'
import { type Options, parse } from 'csv-parse'

export interface CsvRecord {
  readonly record: string[]
  readonly info: { readonly lines: number }
}

/** @throws CsvError, or what the text fails with */
export async function* csvRecords(
  text: AsyncIterable<string>,
  options: Options,
): AsyncGenerator<CsvRecord, void> {
  const parser = parse({ ...options, relaxColumnCount: true, info: true })
  const source = Readable.from(text)
  source.on('error', (error: Error) => parser.destroy(error))
  source.pipe(parser)
  try {
    for await (const record of parser as AsyncIterable<CsvRecord>) yield record
  } finally {
    source.destroy()
    parser.destroy()
  }
}
