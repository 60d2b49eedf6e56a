/** The next days in words and figures, who says so, and how old it is. */
import type { ForecastDay, GardenForecast } from '../../../shared/api/forecast.js'
import { ageInWords } from '../format/durations.js'
import { shortDate } from '../format/local-clock.js'
import { figure, toShown } from '../format/units.js'
import { ScrollTable } from '../parts/scroll-table.js'
import { tempUnit } from '../state/preferences.js'
import { nowMs } from '../state/present.js'
import { SETTLED_C, threatWords } from './envelope-figures.js'

function Interval({ of }: { readonly of: ForecastDay['airTempMinC'] }) {
  const unit = tempUnit.value
  const text = (c: number): string => figure(toShown(c, '°C', unit), 1)
  return (
    <td>
      {text(of.middleC)}
      {/* of today it may be known already */}
      {of.highC - of.lowC >= SETTLED_C && (
        <span class="aside">{` ${text(of.lowC)} to ${text(of.highC)}`}</span>
      )}
    </td>
  )
}

/** 'Corrected from … ; it says so 12 minutes ago.' and what is wrong with the public service, if anything. */
export function ForecastSource({
  forecast,
  bed,
}: {
  readonly forecast: GardenForecast
  readonly bed: string
}) {
  const spoken = forecast.beds.find((one) => one.bed === bed)
  const service = forecast.public
  if (spoken === undefined) return null
  const ageMs = spoken.issuedAt === null ? null : nowMs.value - Date.parse(spoken.issuedAt)
  return (
    <div class="forecast-source">
      <p>
        {spoken.words}
        {ageMs !== null && ` Worked out ${ageInWords(ageMs)}.`}
        {!spoken.isFresh && spoken.source !== 'none' && ' It is too old to warn by.'}
        {spoken.attribution !== null && <span class="aside"> {spoken.attribution}</span>}
      </p>
      {service !== null && (service.state !== 'fresh' || service.problem !== null) && (
        <p class="doubt">
          {service.source}:{' '}
          {service.ageS === null
            ? 'nothing has come from it yet'
            : `its newest forecast is from ${ageInWords(service.ageS * 1000)}`}
          {service.problem === null ? '.' : `; ${service.problem.replace(/\.$/, '')}.`}
        </p>
      )}
    </div>
  )
}

export function ForecastTable({ days }: { readonly days: readonly ForecastDay[] }) {
  if (days.length === 0) return null
  const unit = tempUnit.value
  return (
    <ScrollTable label="The next days in figures">
      <table class="forecast-table">
        <caption>°{unit}; beside each, what it lies between eight times in ten</caption>
        <thead>
          <tr>
            <th scope="col">day</th>
            <th scope="col">lowest</th>
            <th scope="col">highest</th>
            <th scope="col">odds</th>
          </tr>
        </thead>
        <tbody>
          {days.map((day) => (
            <tr key={day.date}>
              <th scope="row">{day.leadDays === 0 ? 'today' : shortDate(day.date)}</th>
              <Interval of={day.airTempMinC} />
              <Interval of={day.airTempMaxC} />
              <td class="odds">{threatWords(day, unit).join(', ') || '–'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollTable>
  )
}
