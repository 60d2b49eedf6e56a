/** Cities by name and by nearness, as the beginning of an almanac asks for them. Positions checked against atlases' figures. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Place } from '../../shared/api/places.js'
import { isTimeZone } from '../../shared/local-time.js'
import { type ApiFixture, openApi } from './api-fixture.js'

describe('places', () => {
  let api: ApiFixture
  beforeAll(async () => {
    api = await openApi()
  })
  afterAll(() => api.close())

  const named = async (q: string): Promise<Place[]> => {
    const { status, body } = await api.ask('GET', `places?${new URLSearchParams({ q })}`)
    expect(status).toBe(200)
    expect(body.timeZone).toBeNull()
    return body.places
  }

  it('finds a city by the beginning of its name, with province, country and clock', async () => {
    const [first] = await named('malm')
    expect(first).toMatchObject({
      name: 'Malmö',
      province: 'Skåne',
      country: 'Sweden',
      timeZone: 'Europe/Stockholm',
      distanceKm: null,
    })
    expect(first!.latitudeDeg).toBeCloseTo(55.6, 0)
    expect(first!.longitudeDeg).toBeCloseTo(13, 0)
  })

  it.each([
    ['Malmö', 'malmo'],
    ['MALMO', 'malmo'],
    ['kobenhavn', 'København'],
    ['Kø', 'ko'],
    ['são p', 'Sao P'],
    ['Łódź', 'lodz'],
  ])('minds neither accents nor capitals: %s is %s', async (one, other) => {
    const found = await named(one)
    expect(found.length).toBeGreaterThan(0)
    expect(found).toEqual(await named(other))
  })

  it('puts those that begin so first, the largest first', async () => {
    const found = await named('york')
    const begins = (place: Place): boolean => place.name.toLowerCase().startsWith('york')
    expect(found.map(begins)).toEqual([
      ...found.filter(begins).map(() => true),
      ...found.filter((p) => !begins(p)).map(() => false),
    ])
    expect(found.some((place) => place.name === 'New York')).toBe(true)
    const counts = found.filter(begins).map((place) => place.population)
    expect(counts).toEqual([...counts].sort((a, b) => b - a))
  })

  it('narrows by province and by country', async () => {
    expect(new Set((await named('springfield')).map((place) => place.province)).size).toBeGreaterThan(2)
    expect((await named('springfield missouri')).map((place) => place.province)).toEqual(['Missouri'])
    expect((await named('springfield MO')).map((place) => place.province)).toEqual(['Missouri'])
    expect(
      (await named('Paris, United States')).every((place) => place.country.startsWith('United States')),
    ).toBe(true)
  })

  it('tells one city once, though the list has it under two names', async () => {
    const [first, ...others] = await named('copenhagen')
    expect(first!.timeZone).toBe('Europe/Copenhagen')
    expect(others.filter((place) => place.country === 'Denmark')).toEqual([])
    const near = (await api.ask('GET', 'places?near=55.68,12.57')).body.places as Place[]
    expect(near.filter((place) => /benhavn|openhagen/.test(place.name))).toHaveLength(1)
  })

  it('finds nothing where there is nothing, and says so with an empty list', async () => {
    expect(await named('qqqxyz')).toEqual([])
    expect(await named('...')).toEqual([])
    expect((await named('a')).length).toBeLessThanOrEqual(12)
  })

  it('gives every city a clock that this machine knows', async () => {
    for (const letter of 'abcdefghijklmnopqrstuvwxyz') {
      for (const place of await named(letter)) expect(isTimeZone(place.timeZone), place.name).toBe(true)
    }
  })

  it.each([
    ['55.68,12.57', 'Europe/Copenhagen'],
    ['-33.87,151.21', 'Australia/Sydney'],
    ['40.71,-74.01', 'America/New_York'],
    ['-0.18,-78.47', 'America/Guayaquil'],
    ['27.72,85.32', 'Asia/Kathmandu'],
  ])('tells the clock at %s: %s, and what lies near, the nearest first', async (near, zone) => {
    const { status, body } = await api.ask('GET', `places?near=${near}`)
    expect(status).toBe(200)
    expect(body.timeZone).toBe(zone)
    const distances = (body.places as Place[]).map((place) => place.distanceKm!)
    expect(distances).toHaveLength(3)
    expect(distances).toEqual([...distances].sort((a, b) => a - b))
    expect(distances[0]).toBeLessThan(30)
  })

  it('measures the way from one city to another as atlases do', async () => {
    // Copenhagen to Malmö, 28 km as the crow flies (geodesic between the two town halls)
    const { body } = await api.ask('GET', 'places?near=55.6757,12.5690')
    const malmo = (body.places as Place[]).find((place) => place.name === 'Malmö')
    expect(malmo?.distanceKm ?? 0).toBeGreaterThan(24)
    expect(malmo?.distanceKm ?? 99).toBeLessThan(32)
  })

  it.each([
    ['', 'q'],
    ['q=', 'q'],
    [`q=${'a'.repeat(61)}`, 'q'],
    ['q=a&near=1,2', 'q'],
    ['near=91,0', 'near'],
    ['near=0,181', 'near'],
    ['near=abc', 'near'],
    ['near=1,2,3', 'near'],
    ['near=1', 'near'],
    ['q=a&q=b', 'q'],
  ])('refuses %s, naming the field', async (query, field) => {
    const { status, body } = await api.ask('GET', `places?${query}`)
    expect(status).toBe(400)
    expect(body.problems[0].field).toBe(field)
  })
})
