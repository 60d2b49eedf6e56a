/** A weather service on this machine that answers as a test tells it, and remembers what it was asked. */
import { createServer, type IncomingHttpHeaders } from 'node:http'
import type { AddressInfo } from 'node:net'

export interface Reply {
  readonly status?: number
  readonly headers?: Readonly<Record<string, string>>
  /** objects are sent as JSON, texts as they are */
  readonly body?: unknown
  /** never ends its answer */
  readonly hangs?: boolean
}

export interface WeatherService {
  readonly baseUrl: string
  readonly asked: { readonly url: string; readonly headers: IncomingHttpHeaders }[]
  /** how it answers from now on */
  answer(reply: (url: string) => Reply): void
  close(): Promise<void>
}

export async function openWeatherService(): Promise<WeatherService> {
  let answer: (url: string) => Reply = () => ({ status: 500 })
  const asked: WeatherService['asked'] = []
  const server = createServer((request, response) => {
    const url = request.url ?? ''
    asked.push({ url, headers: request.headers })
    const { status = 200, headers = {}, body = '', hangs = false } = answer(url)
    response.writeHead(status, headers)
    if (hangs) response.write('{')
    else response.end(status === 304 ? undefined : typeof body === 'string' ? body : JSON.stringify(body))
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return {
    baseUrl: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    asked,
    answer(reply) {
      answer = reply
    },
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve())
        server.closeAllConnections()
      }),
  }
}

const HOUR_MS = 3_600_000
const iso = (timeMs: number): string => new Date(timeMs).toISOString().replace('.000Z', 'Z')

/** In the form in which MET Norway documents its `compact` answers. */
export const metNorwayAnswer = (issuedAtMs: number, fromMs: number, airTempsC: readonly number[]) => ({
  type: 'Feature',
  geometry: { type: 'Point', coordinates: [12.5, 55.7, 20] },
  properties: {
    meta: {
      updated_at: iso(issuedAtMs),
      units: { air_pressure_at_sea_level: 'hPa', air_temperature: 'celsius', wind_speed: 'm/s' },
    },
    timeseries: airTempsC.map((airTempC, hour) => ({
      time: iso(fromMs + hour * HOUR_MS),
      data: {
        instant: {
          details: { air_pressure_at_sea_level: 1013.2, air_temperature: airTempC, wind_speed: 3.1 },
        },
        next_1_hours: { summary: { symbol_code: 'cloudy' }, details: { precipitation_amount: 0 } },
      },
    })),
  },
})

/** In the form in which the US National Weather Service documents its grid cells; each value for two hours. */
export const nwsGrid = (issuedAtMs: number, fromMs: number, values: readonly (number | null)[]) => ({
  type: 'Feature',
  properties: {
    updateTime: iso(issuedAtMs).replace('Z', '+00:00'),
    validTimes: `${iso(fromMs).replace('Z', '+00:00')}/P7DT6H`,
    temperature: {
      uom: 'wmoUnit:degC',
      values: values.map((value, i) => ({
        validTime: `${iso(fromMs + 2 * i * HOUR_MS).replace('Z', '+00:00')}/PT2H`,
        value,
      })),
    },
    skyCover: { uom: 'wmoUnit:percent', values: [] },
  },
})
