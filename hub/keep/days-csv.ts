/** days.csv: the day records of every bed, for spreadsheets. Computed: an import computes them anew. */
import { DayRecord } from '../../shared/api/measurements.js'
import { addDays, localDate, localDay } from '../../shared/local-time.js'
import type { BedMeasurements } from '../garden/measured.js'
import { GardenError, type GardenRepository } from '../garden/port.js'
import type { ReadingStore } from '../store/port.js'
import { csvLine, numberText } from './csv-text.js'
import type { KeepRange } from './port.js'

const FIELDS = DayRecord.keyof().options
export const DAY_COLUMNS = ['garden', 'bed', ...FIELDS]
/** what day records are made of */
const QUANTITIES = ['air-temp', 'soil-temp', 'light', 'irradiance']

export interface DaysDeps {
  readonly garden: GardenRepository
  readonly store: Pick<ReadingStore, 'listSeries'>
  readonly measurements: BedMeasurements
  readonly now: () => number
}

/**
 * A month of one bed at a time, days on which something was measured; those of a bed by date, beds by id.
 *
 * @throws GardenError  UNKNOWN_GARDEN, with the first piece
 */
export async function* writeDaysCsv(
  deps: DaysDeps,
  gardenId: string,
  { from, to, bed: only }: KeepRange,
): AsyncGenerator<string, void> {
  const garden = await deps.garden.getGarden(gardenId)
  if (!garden) throw new GardenError('UNKNOWN_GARDEN', `There is no garden "${gardenId}".`)
  yield csvLine(DAY_COLUMNS)
  const today = localDate(deps.now(), garden.timeZone)
  const series = await deps.store.listSeries(gardenId)
  const beds = (await deps.garden.listBeds(gardenId)).map(({ id }) => id).sort()
  for (const bed of beds) {
    if (only !== undefined && bed !== only) continue
    const placements = await deps.garden.listPlacements(gardenId, bed)
    // a clock that was wrong must not stretch the table over half a century: no day before the first placement
    const spans = placements.flatMap((placement) =>
      series
        .filter((one) => one.node === placement.node && QUANTITIES.includes(one.quantity))
        .map((one) => ({
          fromMs: Math.max(placement.fromMs, one.firstMs),
          toMs: Math.min(placement.toMs ?? Number.POSITIVE_INFINITY, one.lastMs),
        }))
        .filter(({ fromMs, toMs }) => fromMs <= toMs),
    )
    if (spans.length === 0) continue
    const first = localDate(Math.min(...spans.map((span) => span.fromMs)), garden.timeZone)
    const last = localDate(Math.max(...spans.map((span) => span.toMs)), garden.timeZone)
    const end = least(last, today, to ?? last)
    for (
      let start = from !== undefined && from > first ? from : first;
      start <= end;
      start = nextMonth(start)
    ) {
      const until = least(addDays(nextMonth(start), -1), end)
      if (!(await isMeasured(deps, gardenId, bed, start, until, garden.timeZone))) continue
      const records = await deps.measurements.days(gardenId, bed, start, until)
      const lines = records
        .filter((day) => day.airCoverage > 0 || day.soilCoverage > 0 || day.sunCoverage > 0)
        .map((day) => csvLine([gardenId, bed, ...FIELDS.map((field) => cell(day[field]))]))
      if (lines.length > 0) yield lines.join('')
    }
  }
}

async function isMeasured(
  { measurements }: DaysDeps,
  garden: string,
  bed: string,
  from: string,
  to: string,
  timeZone: string,
): Promise<boolean> {
  const { startMs } = localDay(from, timeZone)
  const { endMs } = localDay(to, timeZone)
  for (const quantity of QUANTITIES) {
    if ((await measurements.countRange(garden, bed, quantity, startMs, endMs)) > 0) return true
  }
  return false
}

const least = (first: string, ...others: string[]): string => [first, ...others].sort()[0] ?? first
const nextMonth = (date: string): string => {
  const [year = 0, month = 0] = date.split('-').map(Number)
  return month === 12 ? `${year + 1}-01-01` : `${year}-${String(month + 1).padStart(2, '0')}-01`
}

function cell(value: string | number | boolean | null): string {
  if (value === null) return ''
  return typeof value === 'number' ? numberText(value) : String(value)
}
