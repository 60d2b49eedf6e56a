/**
 * `npm run bench`: what the hub costs, as ratios within one run. Prints one table in Markdown. Takes two to three
 * minutes; run it on a machine that does nothing else. `npm run bench -- sun page` runs parts only.
 */
import { arch, cpus, platform, totalmem } from 'node:os'
import type { BenchRow } from './bench-row.js'
import { ingestBench } from './ingest-bench.js'
import { memoryBench } from './memory-bench.js'
import { pageBench } from './page-bench.js'
import { reviewBench } from './review-bench.js'
import { makeSeason, type Season } from './season.js'
import { seasonBench } from './season-bench.js'
import { servicesBench } from './services-bench.js'
import { storeBench } from './store-bench.js'
import { sunBench } from './sun-bench.js'

let season: Season | null = null
const theSeason = (): Season => {
  season ??= makeSeason()
  return season
}

const PARTS: Readonly<Record<string, () => Promise<BenchRow[] | string> | BenchRow[]>> = {
  ingest: ingestBench,
  store: storeBench,
  season: () => seasonBench(theSeason()),
  sun: () => sunBench(theSeason()),
  memory: memoryBench,
  page: pageBench,
  review: reviewBench,
  services: () => servicesBench(theSeason),
}

const LIMITS = [
  'Ratios compare rows of this one run. Absolute figures hold for this machine alone: another disk, browser or',
  'load moves them. Load generator, hub and browser share the machine’s cores. Medians of a few runs, no error bars.',
  'Times to a chart are those of a local page with nothing to wait for on the way.',
]

function number(value: number): string {
  if (value >= 1_000) return Math.round(value).toLocaleString('en-GB')
  return value >= 100 ? value.toFixed(0) : value.toPrecision(3)
}

function table(rows: readonly BenchRow[]): string {
  const lines = ['| what | value | unit | ratio | to |', '|---|---:|---|---:|---|']
  for (const { name, value, unit, ratioTo } of rows) {
    const yardstick = ratioTo === null ? null : rows.find((row) => row.name === ratioTo)
    if (yardstick === undefined)
      throw new Error(`"${name}" is compared with "${ratioTo}", which was not measured`)
    const ratio = yardstick ? String(Number((value / yardstick.value).toPrecision(2))) : ''
    lines.push(`| ${name} | ${number(value)} | ${unit} | ${ratio} | ${ratioTo ?? ''} |`)
  }
  return lines.join('\n')
}

const asked = process.argv.slice(2)
const unknown = asked.filter((name) => !(name in PARTS))
if (unknown.length > 0) {
  console.error(`no such part: ${unknown.join(', ')}. There are: ${Object.keys(PARTS).join(', ')}`)
  process.exit(1)
}
const rows: BenchRow[] = []
const notes: string[] = []
for (const [name, part] of Object.entries(PARTS)) {
  if (asked.length > 0 && !asked.includes(name)) continue
  const startedAt = performance.now()
  const result = await part()
  if (typeof result === 'string') notes.push(result)
  else rows.push(...result)
  console.error(`${name}: ${((performance.now() - startedAt) / 1000).toFixed(1)} s`)
}
const memoryGiB = Math.round(totalmem() / 2 ** 30)
console.log(
  `\n${platform()} ${arch()}, ${cpus().length} cores, ${memoryGiB} GiB, Node.js ${process.versions.node}\n`,
)
console.log(table(rows))
for (const note of notes) console.log(`\n${note}`)
console.log(`\n${LIMITS.join('\n')}`)
