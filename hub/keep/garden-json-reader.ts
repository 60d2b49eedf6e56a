/** Reading garden.json: first all of it is checked, then it can be loaded, a record at a time. */
import { z } from 'zod'
import {
  EXPORT_FORMAT,
  EXPORT_LISTS,
  EXPORT_SINGLES,
  EXPORT_VERSION,
  type ExportList,
  type ExportSingle,
} from '../../shared/api/export.js'
import { plainWords } from '../../shared/api/plain-words.js'
import type { ExportRecord } from '../garden/export-port.js'
import { LISTS, SINGLES } from './garden-json.js'
import { KeepError } from './port.js'
import { isNotUtf8, type TextLine, textLines, utf8Text } from './text-lines.js'

/** a photo of 4 MiB in base64, and what is around it */
const LONGEST_LINE = 8_000_000
const NOT_LAID_OUT =
  'is not laid out as hearting writes it (one record a line). Was it changed by another program? Export it again.'

/** One value of the file. */
export type GardenPart =
  | { readonly line: number; readonly single: ExportSingle; readonly value: unknown }
  | { readonly line: number; readonly list: ExportList; readonly value: unknown }

const isSingle = (name: string): name is ExportSingle => SINGLES.some((one) => one === name)
const isList = (name: string): name is ExportList => LISTS.some((one) => one === name)

/**
 * @throws KeepError  not such a file, cut off, of a newer version, not UTF-8
 */
export async function* readGardenJson(bytes: AsyncIterable<Uint8Array>): AsyncGenerator<GardenPart, void> {
  try {
    yield* partsOf(textLines(utf8Text(bytes), LONGEST_LINE))
  } catch (error) {
    if (error instanceof RangeError) throw new KeepError(`garden.json: ${error.message}.`)
    if (isNotUtf8(error)) {
      throw new KeepError('garden.json is not UTF-8 text: it is damaged, or another file.', [], {
        cause: error,
      })
    }
    throw error
  }
}

async function* partsOf(lines: AsyncGenerator<TextLine, void>): AsyncGenerator<GardenPart, void> {
  const next = async (): Promise<TextLine> => {
    const { done, value } = await lines.next()
    if (done) throw new KeepError('garden.json ends before its end: it was cut off. Export or copy it again.')
    return value
  }
  const start = await next()
  if (start.text !== '{') throw new KeepError(`garden.json ${NOT_LAID_OUT}`)
  const format = member(await next())
  if (format.name !== 'format' || format.value !== EXPORT_FORMAT) {
    throw new KeepError('This garden.json is not an export of a garden by hearting.')
  }
  const version = member(await next())
  if (version.name !== 'version' || typeof version.value !== 'number') {
    throw new KeepError('garden.json does not say its version.')
  }
  if (version.value > EXPORT_VERSION) {
    throw new KeepError(
      `garden.json has version ${version.value}; this hearting reads up to ${EXPORT_VERSION}. It was written by a newer one: update this one first.`,
    )
  }
  const wanted: string[] = [...SINGLES, ...LISTS]
  for (;;) {
    const line = await next()
    if (line.text === '}') break
    const list = /^"(\w+)":\[(\](?=,?$)|$)/.exec(line.text)
    const name = list?.[1] ?? member(line).name
    if (name !== wanted.shift()) {
      throw new KeepError(
        `garden.json, line ${line.number}: "${name}" does not belong here; the file ${NOT_LAID_OUT}`,
      )
    }
    if (list && isList(name)) {
      if (list[2] === ']') continue
      for (let item = await next(); !/^\],?$/.test(item.text); item = await next()) {
        yield { line: item.number, list: name, value: valueIn(item.text.replace(/,$/, ''), item.number) }
      }
    } else if (isSingle(name)) yield { line: line.number, single: name, value: member(line).value }
    else throw new KeepError(`garden.json, line ${line.number}: the file ${NOT_LAID_OUT}`)
  }
  if (wanted.length > 0) throw new KeepError(`garden.json has no "${wanted[0]}": it was changed, or cut off.`)
  if (!(await lines.next()).done) throw new KeepError('garden.json goes on after its end: it is damaged.')
}

function member({ text, number }: TextLine): { name: string; value: unknown } {
  const match = /^"(\w+)":(.*?),?$/s.exec(text)
  if (!match) throw new KeepError(`garden.json, line ${number}: the file ${NOT_LAID_OUT}`)
  return { name: match[1] ?? '', value: valueIn(match[2] ?? '', number) }
}

function valueIn(text: string, line: number): unknown {
  try {
    return JSON.parse(text)
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause)
    throw new KeepError(`garden.json, line ${line}: not JSON (${why.slice(0, 120)}).`, [], { cause })
  }
}

const Loose = z.record(z.string(), z.unknown())

/** A record that fits its schema; null where there is none (a single that was not set). Else what is wrong with it. */
export function checkedRecord(part: GardenPart): { record: ExportRecord | null } | { problems: string[] } {
  const schema = 'single' in part ? EXPORT_SINGLES[part.single] : EXPORT_LISTS[part.list]
  const parsed = schema.safeParse(part.value, { error: plainWords })
  if (parsed.success) return { record: parsed.data === null ? null : Loose.parse(parsed.data) }
  const name = 'single' in part ? part.single : part.list
  return {
    problems: parsed.error.issues.map(({ path, message }) =>
      `garden.json, line ${part.line}, ${[name, ...path].join('.')}: ${message}`.slice(0, 300),
    ),
  }
}
