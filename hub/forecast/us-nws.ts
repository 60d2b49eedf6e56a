/**
 * The US National Weather Service's gridded forecast (api.weather.gov): the United States only; in the public domain.
 *
 * A place leads to a grid cell, and the cell to its values, each with the interval it holds for. It asks for a
 * User-Agent that identifies the caller, and turns others away.
 */
import { z } from 'zod'
import type { ForecastPoint } from '../core/forecast/public-correction.js'
import type { ServiceOptions } from './met-norway.js'
import { ForecastSourceError, fourDecimals, type PublicSource } from './public-source.js'
import { askService } from './service-http.js'

const Point = z.object({ properties: z.object({ forecastGridData: z.string() }) })

const Grid = z.object({
  properties: z.object({
    updateTime: z.iso.datetime({ offset: true }),
    temperature: z.object({
      uom: z.enum(['wmoUnit:degC', 'wmoUnit:degF']),
      values: z.array(z.object({ validTime: z.string(), value: z.number().nullable() })),
    }),
  }),
})

const SERVICE = 'the US National Weather Service'
const HOUR_MS = 3_600_000
/** ISO 8601: an instant, and how long the value holds from then on */
const INTERVAL = /^([^/]+)\/P(?:(\d+)D)?(?:T(?:(\d+)H)?)?$/
/** A value is not spread over more hours than a forecast has. */
const MOST_HOURS = 24 * 10

export function usNws({ userAgent, now, baseUrl = 'https://api.weather.gov' }: ServiceOptions): PublicSource {
  /** by coordinates; cells are moved about once in years, and then the old address is not found */
  const cells = new Map<string, string>()

  const cellOf = async (at: string, signal: AbortSignal): Promise<string> => {
    const known = cells.get(at)
    if (known !== undefined) return known
    const { body } = await askService({
      url: `${baseUrl}/points/${at}`,
      userAgent,
      accept: 'application/geo+json',
      validator: null,
      schema: Point,
      signal,
      service: SERVICE,
      nowMs: now(),
    })
    const url = body?.properties.forecastGridData ?? ''
    // an answer must not send us anywhere else
    if (!url.startsWith(`${baseUrl}/`)) {
      throw new ForecastSourceError('MALFORMED', `${SERVICE} named a forecast at another address`)
    }
    cells.set(at, url)
    return url
  }

  return {
    name: 'us-nws',
    attribution: 'Forecast from the US National Weather Service',
    async ask(place, validator, signal) {
      const at = `${fourDecimals(place.latitudeDeg)},${fourDecimals(place.longitudeDeg)}`
      const url = await cellOf(at, signal)
      const { body, expiresAtMs, lastModified } = await askService({
        url,
        userAgent,
        accept: 'application/geo+json',
        validator,
        schema: Grid,
        signal,
        service: SERVICE,
        nowMs: now(),
      }).catch((error: unknown) => {
        if (error instanceof ForecastSourceError && error.code === 'OUTSIDE_AREA') cells.delete(at)
        throw error
      })
      if (body === null) return { kind: 'unchanged', expiresAtMs }
      const { updateTime, temperature } = body.properties
      const points = hourly(temperature.values, temperature.uom === 'wmoUnit:degF')
      if (points.length === 0) throw new ForecastSourceError('MALFORMED', `${SERVICE} sent no temperatures`)
      return {
        kind: 'fresh',
        issuedAtMs: Date.parse(updateTime),
        points,
        expiresAtMs,
        validator: lastModified,
      }
    },
  }
}

/** Values with their intervals, hour by hour. @throws ForecastSourceError */
function hourly(
  values: readonly { readonly validTime: string; readonly value: number | null }[],
  isFahrenheit: boolean,
): ForecastPoint[] {
  const points: ForecastPoint[] = []
  for (const { validTime, value } of values) {
    const [, from = '', days = '0', hours = '0'] = INTERVAL.exec(validTime) ?? []
    const fromMs = Date.parse(from)
    const count = Number(days) * 24 + Number(hours)
    if (!Number.isFinite(fromMs) || count < 1 || count > MOST_HOURS) {
      throw new ForecastSourceError('MALFORMED', `${SERVICE} sent a time that cannot be read: ${validTime}`)
    }
    if (value === null) continue
    const airTempC = isFahrenheit ? (value - 32) / 1.8 : value
    for (let hour = 0; hour < count; hour++) points.push({ validAtMs: fromMs + hour * HOUR_MS, airTempC })
  }
  return points
}
