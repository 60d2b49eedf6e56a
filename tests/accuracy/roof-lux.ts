/** The lux logger on a roof: no truth exists there, so its days are drawn for the eye. */
import type { Place } from '../../hub/core/readings.js'
import { NO_READINGS } from '../../hub/core/readings.js'
import { learnBedSun } from '../../hub/core/sun/bed-sun.js'
import { daySun } from '../../hub/core/sun/day-sun.js'
import { sensorFaults } from '../../hub/core/sun/sensor-faults.js'
import { isoWithOffset, localDate, localDays } from '../../shared/local-time.js'
import { loadTidy } from '../support/reference-data.js'

const SIGN = { sun: '#', cloud: '-', shade: '+', night: ' ', unknown: '?' } as const
const QUARTER_MS = 900_000

export async function roofReport(): Promise<string> {
  const file = await loadTidy('tuebingen-lux-30s/roof-lux.tidy.csv.gz')
  const place: Place = {
    latitudeDeg: Number(file.meta.lat),
    longitudeDeg: Number(file.meta.lon),
    elevationM: Number(file.meta.elevation_m),
  }
  const timeZone = file.meta.tz ?? 'UTC'
  const lux = file.columns.lux!
  const good = [...lux.keys()].filter((i) => !Number.isNaN(lux[i]!))
  const light = {
    timeMs: Float64Array.from(good, (i) => file.timeMs[i]!),
    value: Float64Array.from(good, (i) => lux[i]!),
    flags: new Uint16Array(good.length),
  }
  const readings = { light, irradiance: NO_READINGS }
  const learned = learnBedSun(readings, place)
  const { latest, uncertainty } = learned.gain
  const gain =
    latest === null ? 'no gain learned' : `learned gain ${latest.toFixed(2)} ± ${uncertainty.toFixed(2)}`
  const lines = [
    '\nLux logger on a roof in Tübingen (30 s, under a plastic dome): the most frequent state by the quarter of an hour,',
    `# sun, - cloud, + shade; ${gain}, faults ${JSON.stringify(sensorFaults(learned))}`,
  ]
  const lastMs = light.timeMs.at(-1)!
  for (const day of localDays(localDate(light.timeMs[0]!, timeZone), localDate(lastMs, timeZone), timeZone)) {
    const sun = daySun(day, readings, place, lastMs, learned.context)
    let drawn = ''
    for (let ms = day.startMs + 4 * 3_600_000; ms < day.startMs + 22 * 3_600_000; ms += QUARTER_MS) {
      const most = (Object.keys(SIGN) as (keyof typeof SIGN)[]).map((state) => ({
        state,
        ms: sun.segments.reduce(
          (sum, s) =>
            s.state === state
              ? sum + Math.max(0, Math.min(s.toMs, ms + QUARTER_MS) - Math.max(s.fromMs, ms))
              : sum,
          0,
        ),
      }))
      const top = most.reduce((a, b) => (b.ms > a.ms ? b : a))
      drawn += top.ms > 0 ? SIGN[top.state] : ' '
    }
    const sunrise =
      sun.sunriseMs === null
        ? ''
        : isoWithOffset(Math.round(sun.sunriseMs / 1000) * 1000, timeZone).slice(11, 16)
    lines.push(
      `${day.date} 4 h |${drawn}| 22 h  sun ${(sun.sunHours ?? 0).toFixed(1)} of ${sun.possibleSunHours.toFixed(1)} h, sunrise ${sunrise}`,
    )
  }
  return lines.join('\n')
}
