import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { metNorway } from '../../hub/forecast/met-norway.js'
import { ForecastSourceError } from '../../hub/forecast/public-source.js'
import { usNws } from '../../hub/forecast/us-nws.js'
import { metNorwayAnswer, nwsGrid, openWeatherService, type WeatherService } from './weather-service.js'

const NOW_MS = Date.parse('2027-06-15T12:00:00Z')
const HOUR_MS = 3_600_000
const PLACE = { latitudeDeg: 55.6761234, longitudeDeg: 12.5, elevationM: 19.6 }
const userAgent = 'hearting/0.1 (gardener@example.org)'
const TEMPS = Array.from({ length: 48 }, (_, hour) => 15 + 5 * Math.sin((hour / 24) * 2 * Math.PI))

let service: WeatherService
beforeEach(async () => {
  service = await openWeatherService()
})
afterEach(() => service.close())

const options = () => ({ userAgent, now: () => NOW_MS, baseUrl: service.baseUrl })
const patience = (ms = 5_000) => AbortSignal.timeout(ms)
const failure = async (asked: Promise<unknown>): Promise<ForecastSourceError> => {
  const error = await asked.then(
    () => null,
    (reason: unknown) => reason,
  )
  if (!(error instanceof ForecastSourceError)) throw new Error(`no source error: ${String(error)}`)
  return error
}

describe('MET Norway', () => {
  const ask = (validator: string | null = null, signal = patience()) =>
    metNorway(options()).ask(PLACE, validator, signal)

  it('is asked by name, with a contact, four decimals and the height', async () => {
    service.answer(() => ({ body: metNorwayAnswer(NOW_MS - HOUR_MS, NOW_MS, TEMPS) }))
    await ask()
    const { url, headers } = service.asked[0]!
    expect(url).toBe('/weatherapi/locationforecast/2.0/compact?lat=55.6761&lon=12.5&altitude=20')
    expect(headers['user-agent']).toBe(userAgent)
    expect(headers['if-modified-since']).toBeUndefined()
  })

  it('answers with temperatures, when they were made, and when to come again', async () => {
    service.answer(() => ({
      headers: { expires: 'Tue, 15 Jun 2027 12:31:07 GMT', 'last-modified': 'Tue, 15 Jun 2027 11:02:11 GMT' },
      body: metNorwayAnswer(NOW_MS - HOUR_MS, NOW_MS, TEMPS),
    }))
    expect(await ask()).toEqual({
      kind: 'fresh',
      issuedAtMs: NOW_MS - HOUR_MS,
      points: TEMPS.map((airTempC, hour) => ({ validAtMs: NOW_MS + hour * HOUR_MS, airTempC })),
      expiresAtMs: Date.parse('2027-06-15T12:31:07Z'),
      validator: 'Tue, 15 Jun 2027 11:02:11 GMT',
    })
  })

  it('is shown what it gave, and may say that nothing has changed', async () => {
    service.answer(() => ({ status: 304, headers: { expires: 'Tue, 15 Jun 2027 13:00:00 GMT' } }))
    expect(await ask('Tue, 15 Jun 2027 11:02:11 GMT')).toEqual({
      kind: 'unchanged',
      expiresAtMs: Date.parse('2027-06-15T13:00:00Z'),
    })
    expect(service.asked[0]!.headers['if-modified-since']).toBe('Tue, 15 Jun 2027 11:02:11 GMT')
  })

  it.each([
    [403, {}, 'REFUSED', false, null],
    [429, { 'retry-after': '120' }, 'TOO_OFTEN', true, 120_000],
    [429, { 'retry-after': 'Tue, 15 Jun 2027 12:10:00 GMT' }, 'TOO_OFTEN', true, 600_000],
    [422, {}, 'OUTSIDE_AREA', false, null],
    [503, {}, 'SERVER_ERROR', true, null],
  ] as const)(
    'answering %s is a failure of its own kind',
    async (status, headers, code, retryable, waitMs) => {
      service.answer(() => ({ status, headers, body: 'no' }))
      const error = await failure(ask())
      expect(error).toMatchObject({ code, retryable, retryAfterMs: waitMs })
    },
  )

  it.each([
    ['no JSON', '<html>maintenance</html>'],
    ['JSON cut short', '{"type":"Feature","prop'],
    ['JSON of another form', { properties: { timeseries: [] } }],
    [
      'other units',
      (() => {
        const answer = metNorwayAnswer(NOW_MS, NOW_MS, TEMPS)
        answer.properties.meta.units.air_temperature = 'fahrenheit'
        return answer
      })(),
    ],
    ['no temperatures at all', metNorwayAnswer(NOW_MS, NOW_MS, [])],
  ])('sending %s is malformed, in words', async (_what, body) => {
    service.answer(() => ({ body }))
    const error = await failure(ask())
    expect(error.code).toBe('MALFORMED')
    expect(error.message).toMatch(/^MET Norway sent /)
  })

  it('that does not end its answer is given up', async () => {
    service.answer(() => ({ hangs: true }))
    expect(await failure(ask(null, patience(50)))).toMatchObject({ code: 'TOO_SLOW', retryable: true })
  })

  it('that sends without end is cut off', async () => {
    service.answer(() => ({ body: `"${'x'.repeat(5 * 1024 * 1024)}"` }))
    expect(await failure(ask())).toMatchObject({ code: 'MALFORMED' })
  })

  it('that is not there is unreachable', async () => {
    await service.close()
    expect(await failure(ask())).toMatchObject({ code: 'UNREACHABLE', retryable: true })
    service = await openWeatherService()
  })
})

describe('the US National Weather Service', () => {
  const nws = () => usNws(options())
  const CELL = '/gridpoints/OKX/33,37'
  const answering = (grid: () => object) =>
    service.answer((url) =>
      url.startsWith('/points/')
        ? { body: { properties: { forecastGridData: `${service.baseUrl}${CELL}` } } }
        : {
            body: grid(),
            headers: {
              'cache-control': 'public, max-age=3600',
              'last-modified': 'Tue, 15 Jun 2027 11:00:00 GMT',
            },
          },
    )

  it('leads from the place to a cell, and from its intervals to hours', async () => {
    answering(() => nwsGrid(NOW_MS - HOUR_MS, NOW_MS, [15, null, 17]))
    const answer = await nws().ask(PLACE, null, patience())
    expect(answer).toMatchObject({
      kind: 'fresh',
      issuedAtMs: NOW_MS - HOUR_MS,
      points: [0, 1, 4, 5].map((hour) => ({
        validAtMs: NOW_MS + hour * HOUR_MS,
        airTempC: hour < 2 ? 15 : 17,
      })),
      expiresAtMs: NOW_MS + HOUR_MS,
      validator: 'Tue, 15 Jun 2027 11:00:00 GMT',
    })
    expect(service.asked.map(({ url }) => url)).toEqual(['/points/55.6761,12.5', CELL])
    expect(service.asked[1]!.headers).toMatchObject({
      'user-agent': userAgent,
      accept: 'application/geo+json',
    })
  })

  it('is asked for the cell of a place once', async () => {
    answering(() => nwsGrid(NOW_MS, NOW_MS, [15, 16]))
    const source = nws()
    await source.ask(PLACE, null, patience())
    await source.ask(PLACE, 'Tue, 15 Jun 2027 11:00:00 GMT', patience())
    expect(service.asked.map(({ url }) => url)).toEqual(['/points/55.6761,12.5', CELL, CELL])
    expect(service.asked[2]!.headers['if-modified-since']).toBe('Tue, 15 Jun 2027 11:00:00 GMT')
  })

  it('may give degrees Fahrenheit', async () => {
    const grid = nwsGrid(NOW_MS, NOW_MS, [50, 59])
    grid.properties.temperature.uom = 'wmoUnit:degF'
    answering(() => grid)
    const answer = await nws().ask(PLACE, null, patience())
    expect(answer.kind === 'fresh' && answer.points.map(({ airTempC }) => airTempC)).toEqual([10, 10, 15, 15])
  })

  it('does not get to send the hub elsewhere', async () => {
    service.answer(() => ({ body: { properties: { forecastGridData: 'http://192.0.2.1/gridpoints' } } }))
    expect(await failure(nws().ask(PLACE, null, patience()))).toMatchObject({ code: 'MALFORMED' })
    expect(service.asked).toHaveLength(1)
  })

  it('knows nothing of places outside its country', async () => {
    service.answer(() => ({ status: 404, body: {} }))
    const error = await failure(nws().ask(PLACE, null, patience()))
    expect(error).toMatchObject({ code: 'OUTSIDE_AREA', retryable: false })
    expect(error.message).toContain('outside its area')
  })

  it.each([
    '2027-06-15T12:00:00+00:00',
    '2027-06-15T12:00:00+00:00/PT900H',
    'soon/PT1H',
    '2027-06-15T12:00:00Z/P-1D',
  ])('with a time like %s is malformed', async (validTime) => {
    const grid = nwsGrid(NOW_MS, NOW_MS, [15])
    grid.properties.temperature.values[0]!.validTime = validTime
    answering(() => grid)
    expect(await failure(nws().ask(PLACE, null, patience()))).toMatchObject({ code: 'MALFORMED' })
  })
})
