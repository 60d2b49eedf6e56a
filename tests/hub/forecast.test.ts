import { describe, expect, it, vi } from 'vitest'
import { loadConfig } from '../../hub/config.js'
import { startHub } from '../../hub/main.js'
import { metNorwayAnswer, openWeatherService } from '../forecast/weather-service.js'
import { ask, newDataDir, node, setUpHome, silent, startOn } from './hub-fixture.js'

const HOUR_MS = 3_600_000
const wave = (hour: number): number => Math.round((14 + 5 * Math.sin((hour / 24) * 2 * Math.PI)) * 10) / 10

describe('a forecast published over MQTT', () => {
  it('is stored when it is acknowledged; one that cannot be used is refused, and told among the stray packs', async () => {
    const { dataDir, remove } = await newDataDir()
    const hub = await startOn(dataDir)
    await setUpHome(hub)
    const client = await node(hub)
    const nowMs = Math.floor(Date.now() / HOUR_MS) * HOUR_MS
    const forecast = {
      source: 'a friend',
      issuedAt: new Date(nowMs).toISOString(),
      points: Array.from({ length: 60 }, (_, hour) => ({
        time: new Date(nowMs + hour * HOUR_MS).toISOString(),
        airTempC: wave(hour),
      })),
    }
    await client.publishAsync('gardens/home/forecast', JSON.stringify(forecast), { qos: 1 })
    const { body } = await ask(hub, 'GET', 'gardens/home/forecast')
    expect(body.public).toMatchObject({ source: 'a friend', state: 'fresh' })

    for (const [bad, why] of [
      ['{', 'not JSON'],
      [JSON.stringify({ ...forecast, issuedAt: undefined }), 'say when the forecast was made'],
      [JSON.stringify({ ...forecast, points: [] }), 'points'],
    ] as const) {
      await client.publishAsync('gardens/home/forecast', bad, { qos: 1 })
      const { body: stray } = await ask(hub, 'GET', 'gardens/home/stray-packs')
      expect(stray.latest).toMatchObject({ reason: 'forecast', message: expect.stringContaining(why) })
    }
    await client.endAsync()
    await hub.close()
    await remove()
  })
})

describe('a weather service in the settings', () => {
  it('is asked in the owner’s name once the garden is set up', async () => {
    const service = await openWeatherService()
    const nowMs = Math.floor(Date.now() / HOUR_MS) * HOUR_MS
    service.answer(() => ({
      body: metNorwayAnswer(
        nowMs - HOUR_MS,
        nowMs,
        Array.from({ length: 60 }, (_, hour) => wave(hour)),
      ),
    }))
    const { dataDir, remove } = await newDataDir()
    const config = loadConfig({
      HEARTING_DATA_DIR: dataDir,
      HEARTING_FORECAST_SOURCE: 'met-norway',
      HEARTING_FORECAST_CONTACT: 'gardener@example.org',
    })
    const hub = await startHub(
      { ...config, httpPort: 0, mqttPort: 0 },
      { log: silent, doors: 'open', forecastServiceUrl: service.baseUrl, checkReplies: true },
    )
    await setUpHome(hub)
    await vi.waitFor(async () => {
      const { body } = await ask(hub, 'GET', 'gardens/home/forecast')
      expect(body.public).toMatchObject({ source: 'met-norway', state: 'fresh' })
      expect(body.public.attribution).toContain('MET Norway')
    }, 10_000)
    expect(service.asked[0]!.headers['user-agent']).toBe('hearting/0.1 (gardener@example.org)')
    await hub.close()
    await service.close()
    await remove()
  })

  it('needs a contact', () => {
    expect(() => loadConfig({ HEARTING_FORECAST_SOURCE: 'us-nws' })).toThrow(
      /HEARTING_FORECAST_CONTACT: give a mail or web address/,
    )
    expect(() => loadConfig({ HEARTING_FORECAST_SOURCE: 'oracle' })).toThrow(
      /one of none, met-norway, us-nws/,
    )
  })
})
