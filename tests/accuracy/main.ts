/**
 * npm run accuracy: how well the sun hours of one level lux sensor agree with measured sunshine (WMO definition), side by
 * side with published methods, and how well shaded beds come out before a simulated skyline; how far daily methods of
 * degree days are from the integral; and how forecasts and warm-spell warnings fare. Needs the folder of measured weather
 * (tests/support/reference-data.ts).
 */
import { loadSunRecord, type Sensor, SUN_RECORDS, type SunRecord } from '../support/measured-sunshine.js'
import { hasReferenceData, referencePath } from '../support/reference-data.js'
import { type Score, scoreDays } from './daily-score.js'
import { degreeDayReport } from './degree-day-methods.js'
import { forecastReport } from './forecast-report.js'
import { leaveOneOut, ourSun, seen } from './our-method.js'
import { PUBLISHED_METHODS, publishedSun } from './published-methods.js'
import { roofReport } from './roof-lux.js'
import { shadedReport } from './shaded-beds.js'

const SENSORS: readonly { readonly name: string; readonly sensor: Sensor }[] = [
  { name: 'true sensor, every minute', sensor: {} },
  { name: 'reads 30 % too low', sensor: { gain: 0.7 } },
  { name: 'reads 30 % too high', sensor: { gain: 1.3 } },
  { name: '12 bits over 120,000 lx', sensor: { stepLx: 120_000 / 4096 } },
  { name: 'ceiling at 120,000 lx', sensor: { ceilingLx: 120_000 } },
  { name: 'ceiling at 54,612 lx', sensor: { ceilingLx: 54_612 } },
  { name: '… and reads 30 % too high', sensor: { ceilingLx: 54_612, gain: 1.3 } },
  { name: 'every 5 min', sensor: { intervalMinutes: 5 } },
  { name: 'every 15 min', sensor: { intervalMinutes: 15 } },
]

const label = (record: SunRecord): string => record.name.split('/')[1]!.replace('surfrad-', '')
const cell = ({ error, bias }: Score): string =>
  `${error.toFixed(3)} (${bias < 0 ? '' : '+'}${bias.toFixed(2)})`
const row = (name: string, cells: readonly string[]): string =>
  `${name.padEnd(30)}${cells.map((c) => c.padStart(16)).join('')}`

function openSky(records: readonly SunRecord[]): void {
  const months = records.filter((record) => record.name.includes('lyngby'))
  const mean = (scores: readonly Score[]): Score => ({
    days: 0,
    error: scores.reduce((sum, s) => sum + s.error, 0) / scores.length,
    bias: scores.reduce((sum, s) => sum + s.bias, 0) / scores.length,
  })
  const line = (name: string, scores: readonly Score[]): void => {
    console.log(row(name, [...scores.map(cell), cell(mean(scores.slice(0, months.length)))]))
  }
  const header = row('', [...records.map(label), 'mean of months'])

  console.log('Open sky: mean absolute error of daily sun hours, h (and mean error)\n')
  for (const { name, sensor } of SENSORS) {
    console.log(`${name}\n${header}`)
    const interval = sensor.intervalMinutes ?? 1
    for (const method of PUBLISHED_METHODS) {
      const scores = records.map((record) => {
        const global = record.globalWm2.map((g) => asSensor(g, sensor))
        return scoreDays(record, publishedSun(method.id, record, global, interval))
      })
      line(`  ${method.name}`, scores)
    }
    const seenBy = records.map((record) => seen(record, sensor))
    line(
      '  hearting',
      records.map((record, i) => scoreDays(record, ourSun(record, seenBy[i]!))),
    )
    line('  hearting, tuned on the others', leaveOneOut(records, seenBy, months))
    console.log('')
  }
}

/** What the sensor makes of an irradiance, turned back into W/m²: published methods know no gain and no ceiling. */
function asSensor(globalWm2: number, { gain = 1, ceilingLx, stepLx }: Sensor): number {
  let lux = Math.max(0, globalWm2 * 107 * gain)
  if (ceilingLx !== undefined) lux = Math.min(ceilingLx, lux)
  if (stepLx) lux = Math.round(lux / stepLx) * stepLx
  return lux / 107
}

if (!hasReferenceData) {
  console.log(`The folder of measured weather is absent (looked for ${referencePath('.')}).`)
  console.log('Set HEARTING_REFERENCE_DATA to where it is.')
} else {
  const records = await Promise.all(SUN_RECORDS.map(loadSunRecord))
  openSky(records)
  console.log(shadedReport(records))
  console.log(await roofReport())
  console.log(`\n${await degreeDayReport()}\n`)
  console.log(await forecastReport())
}
