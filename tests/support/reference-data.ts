/**
 * Real measured weather for tests: a folder that is not part of the repository (its files' terms differ).
 * Tests that need it skip with a plain message where it is absent. HEARTING_REFERENCE_DATA names another place.
 */
import { existsSync } from 'node:fs'
import { resolve } from 'node:path'
import { openTidyCsv } from '../../hub/keep/tidy-csv.js'

const root = resolve(
  process.env.HEARTING_REFERENCE_DATA ?? resolve(import.meta.dirname, '../../../shared/data'),
)

export const hasReferenceData = existsSync(root)

/** Title suffix that says why a suite is skipped. */
export const skipNote = hasReferenceData
  ? ''
  : ' (skipped: the folder of measured reference weather is absent)'

export const referencePath = (name: string): string => resolve(root, name)

export interface LoadedTidy {
  readonly meta: Readonly<Record<string, string>>
  readonly timeMs: Float64Array
  /** NaN where the cell was empty */
  readonly columns: Readonly<Record<string, Float64Array>>
}

/** A whole tidy file in memory, as columns; time stamps as they are in the file. */
export async function loadTidy(name: string): Promise<LoadedTidy> {
  const file = await openTidyCsv(referencePath(name))
  const rows: { timeMs: number; values: Readonly<Record<string, number>> }[] = []
  for await (const row of file.rows) rows.push(row)
  const columns: Record<string, Float64Array> = {}
  for (const column of file.columns) {
    columns[column] = Float64Array.from(rows, (row) => row.values[column] ?? Number.NaN)
  }
  return { meta: file.meta, timeMs: Float64Array.from(rows, (row) => row.timeMs), columns }
}

/** A truth table: `#` comment lines, a header, then rows as text cells by column name. */
export async function loadTruth(name: string): Promise<Record<string, string>[]> {
  const { readFile } = await import('node:fs/promises')
  const { parse } = await import('csv-parse/sync')
  const text = await readFile(referencePath(name), 'utf8')
  return parse(text, { columns: true, comment: '#', skipEmptyLines: true }) as Record<string, string>[]
}
