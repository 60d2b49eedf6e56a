/**
 * MET Norway's Locationforecast 2.0, for any place on Earth; open data under CC BY 4.0.
 *
 * Its terms of service: an identifying User-Agent with contact, not to ask before Expires, If-Modified-Since, at most
 * four decimals in coordinates, credit. Hourly values for two to three days, six-hourly ones after that.
 */
import { z } from 'zod'
import { ForecastSourceError, fourDecimals, type PublicSource } from './public-source.js'
import { askService } from './service-http.js'

const Forecast = z.object({
  properties: z.object({
    meta: z.object({
      updated_at: z.iso.datetime({ offset: true }),
      units: z.object({ air_temperature: z.literal('celsius') }),
    }),
    timeseries: z.array(
      z.object({
        time: z.iso.datetime({ offset: true }),
        data: z.object({
          instant: z.object({ details: z.object({ air_temperature: z.number().optional() }) }),
        }),
      }),
    ),
  }),
})

export interface ServiceOptions {
  /** name of the program and how its owner is reached */
  readonly userAgent: string
  /** UTC ms */
  readonly now: () => number
  /** another address, for tests */
  readonly baseUrl?: string
}

export function metNorway({ userAgent, now, baseUrl = 'https://api.met.no' }: ServiceOptions): PublicSource {
  return {
    name: 'met-norway',
    attribution: 'Weather data from MET Norway (CC BY 4.0)',
    async ask(place, validator, signal) {
      const at = new URLSearchParams({
        lat: fourDecimals(place.latitudeDeg),
        lon: fourDecimals(place.longitudeDeg),
        altitude: String(Math.round(place.elevationM)),
      })
      const { body, expiresAtMs, lastModified } = await askService({
        url: `${baseUrl}/weatherapi/locationforecast/2.0/compact?${at}`,
        userAgent,
        accept: 'application/json',
        validator,
        schema: Forecast,
        signal,
        service: 'MET Norway',
        nowMs: now(),
      })
      if (body === null) return { kind: 'unchanged', expiresAtMs }
      const { meta, timeseries } = body.properties
      const points = timeseries.flatMap(({ time, data }) => {
        const airTempC = data.instant.details.air_temperature
        return airTempC === undefined ? [] : [{ validAtMs: Date.parse(time), airTempC }]
      })
      if (points.length === 0) throw new ForecastSourceError('MALFORMED', 'MET Norway sent no temperatures')
      return {
        kind: 'fresh',
        issuedAtMs: Date.parse(meta.updated_at),
        points,
        expiresAtMs,
        validator: lastModified,
      }
    },
  }
}
