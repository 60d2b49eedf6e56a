/** Checking a whole garden.json before anything of it is taken in: each record, and that what records name is there. */
import { z } from 'zod'
import type { ExportList } from '../../shared/api/export.js'
import type { ExportRecord } from '../garden/export-port.js'
import { checkedRecord, readGardenJson } from './garden-json-reader.js'
import { KeepError } from './port.js'

const MOST_PROBLEMS = 20

/** field → list that must have it */
const REFERENCES: Readonly<Partial<Record<ExportList, Readonly<Record<string, ExportList>>>>> = {
  placements: { node: 'nodes', bed: 'beds' },
  plantings: { bed: 'beds' },
  drawnSkylines: { bed: 'beds' },
  mutes: { planting: 'plantings' },
  journal: { planting: 'plantings', bed: 'beds' },
  photos: { entry: 'journal' },
}
/** what makes a record one of its kind */
const KEYS: Readonly<Partial<Record<ExportList, readonly string[]>>> = {
  drawnSkylines: ['bed'],
  mutes: ['planting', 'kind'],
  taskAnswers: ['task'],
}
const USUAL_KEY = ['id']

/** What a garden.json holds. */
export interface GardenSurvey {
  readonly garden: string
  readonly name: string
  readonly counts: Readonly<Partial<Record<ExportList, number>>>
}

/** @throws KeepError  with what is wrong, line by line, the first twenty */
export async function checkGardenJson(bytes: AsyncIterable<Uint8Array>): Promise<GardenSurvey> {
  const problems: string[] = []
  const ids = new Map<ExportList, Set<string>>()
  const placed = new Map<string, { fromMs: number; toMs: number }[]>()
  let place: ExportRecord | null = null
  const object = (line: number, what: string): void => {
    problems.push(`garden.json, line ${line}, ${what}`)
  }

  /** @returns the key when it was there before */
  const noteKey = (list: ExportList, value: unknown): string | null => {
    const record = z.record(z.string(), z.unknown()).safeParse(value)
    if (!record.success) return null
    const key = (KEYS[list] ?? USUAL_KEY).map((field) => String(record.data[field])).join(' ')
    const known = ids.get(list) ?? new Set<string>()
    ids.set(list, known)
    if (known.has(key)) return key
    known.add(key)
    return null
  }

  for await (const part of readGardenJson(bytes)) {
    if (problems.length >= MOST_PROBLEMS) break
    const checked = checkedRecord(part)
    if ('problems' in checked) {
      problems.push(...checked.problems)
      // what names it is not at fault as well
      if ('list' in part) noteKey(part.list, part.value)
      continue
    }
    const { record } = checked
    if (record === null) continue
    if ('single' in part) {
      if (part.single === 'garden') place = record
      continue
    }
    const twice = noteKey(part.list, record)
    if (twice !== null) object(part.line, `${part.list}: "${twice}" is there twice`)
    for (const [field, list] of Object.entries(REFERENCES[part.list] ?? {})) {
      const named = record[field]
      if (typeof named !== 'string' || ids.get(list)?.has(named)) continue
      object(part.line, `${part.list}.${field}: there is no "${named}" among the ${list}`)
    }
    if (part.list === 'placements') {
      const why = placementProblem(record, placed)
      if (why !== null) object(part.line, `placements: ${why}`)
    }
    if (part.list === 'plantings') {
      const why = datesProblem(record)
      if (why !== null) object(part.line, `plantings: ${why}`)
    }
  }
  if (problems.length > 0) {
    throw new KeepError(
      'garden.json cannot be taken in; nothing was changed.',
      problems.slice(0, MOST_PROBLEMS),
    )
  }
  if (place === null) throw new KeepError('garden.json holds no garden.')
  return {
    garden: String(place.id),
    name: String(place.name),
    counts: Object.fromEntries([...ids].map(([list, known]) => [list, known.size])),
  }
}

function placementProblem(
  { node, from, to }: ExportRecord,
  placed: Map<string, { fromMs: number; toMs: number }[]>,
): string | null {
  const span = {
    fromMs: Date.parse(String(from)),
    toMs: to === null ? Number.POSITIVE_INFINITY : Date.parse(String(to)),
  }
  if (span.toMs <= span.fromMs) return 'it ends before it begins'
  const others = placed.get(String(node)) ?? []
  placed.set(String(node), others)
  const overlaps = others.some((other) => other.fromMs < span.toMs && span.fromMs < other.toMs)
  others.push(span)
  return overlaps ? `the node "${node}" stood in two beds at once` : null
}

/** Dates as text sort as dates. */
function datesProblem({ sownOn, plantedOutOn, finishedOn }: ExportRecord): string | null {
  const dates = [sownOn, plantedOutOn, finishedOn].filter((date) => typeof date === 'string')
  return dates.some((date, i) => i > 0 && date < (dates[i - 1] ?? date))
    ? `its dates are out of order (${dates.join(', ')})`
    : null
}
