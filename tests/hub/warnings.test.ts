import { connectAsync } from 'mqtt'
import { describe, expect, it, vi } from 'vitest'
import { ask, followLive, newDataDir, node, publish, setUpHome, startOn } from './hub-fixture.js'

describe('a frosty night', () => {
  it('is warned of on the page, live and over MQTT, and the warning can be marked as seen', async () => {
    const { dataDir, remove } = await newDataDir()
    const hub = await startOn(dataDir)
    await setUpHome(hub)
    const live = await followLive(hub)
    const planting = {
      bed: 'long',
      crop: 'lettuce-head',
      plantedOutOn: '2026-01-02',
      plants: 6,
      spacingM: 0.3,
    }
    expect((await ask(hub, 'POST', 'gardens/home/plantings', planting)).status).toBe(201)
    const client = await node(hub)
    const nowMs = Math.floor(Date.now() / 1000) * 1000
    for (let minutes = 90; minutes >= 0; minutes -= 5) {
      await publish(client, 'n1', nowMs - minutes * 60_000, { 'air-temp': -4 - (90 - minutes) / 60 })
    }
    await client.endAsync()
    const frost = await vi.waitFor(() => {
      const told = live.events.find((event) => event.type === 'warning' && event.warning.kind === 'frost')
      if (told?.type !== 'warning') throw new Error('no warning of frost yet')
      return told.warning
    }, 20_000)
    expect(frost).toMatchObject({ bed: 'long', clearedAt: null, seenAt: null })
    for (const text of [frost.headline, frost.why, frost.advice]) expect(text.length).toBeGreaterThan(10)
    const { body: open } = await ask(hub, 'GET', 'gardens/home/warnings')
    expect(open).toContainEqual(frost)
    const metrics = await (await fetch(`${hub.httpUrl}/metrics`)).text()
    expect(metrics).toMatch(/^hearting_warnings_raised_total\{kind="frost"\} 1$/m)

    const subscriber = await connectAsync(hub.mqttUrl)
    const retained = new Promise<string>((resolve) => {
      subscriber.on('message', (_topic, payload) => resolve(payload.toString()))
    })
    await subscriber.subscribeAsync('gardens/home/beds/long/warnings/frost', { qos: 1 })
    expect(JSON.parse(await retained)).toMatchObject([{ id: frost.id, kind: 'frost' }])
    await subscriber.endAsync()

    const seen = await ask(hub, 'POST', `gardens/home/warnings/${frost.id}/seen`)
    expect(seen).toMatchObject({ status: 200, body: { id: frost.id } })
    expect(seen.body.seenAt).not.toBeNull()
    await vi.waitFor(() => expect(live.events).toContainEqual({ type: 'warning', warning: seen.body }), 5_000)
    expect((await ask(hub, 'POST', 'gardens/home/warnings/none/seen')).body.code).toBe('UNKNOWN_WARNING')
    expect((await ask(hub, 'GET', 'gardens/home/warnings?state=all&limit=1')).body).toHaveLength(1)
    live.stop()
    await hub.close()
    await remove()
  })
})
