/** A whole hub on a folder of its own and free ports, and what nodes and pages do with it. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { connectAsync, type MqttClient } from 'mqtt'
import pino from 'pino'
import { Config } from '../../hub/config.js'
import { type Hub, type HubOptions, startHub } from '../../hub/main.js'
import type { LiveEvent } from '../../shared/api/warnings.js'

export const silent = pino({ level: process.env.HEARTING_LOG_LEVEL ?? 'silent' })

export async function newDataDir(): Promise<{ dataDir: string; remove(): Promise<void> }> {
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-hub-'))
  return { dataDir, remove: () => rm(dataDir, { recursive: true, force: true }) }
}

export const startOn = (dataDir: string, options: Partial<HubOptions> = {}): Promise<Hub> =>
  startHub(Config.parse({ dataDir, httpPort: 0, mqttPort: 0 }), {
    log: silent,
    doors: 'open',
    checkReplies: true,
    ...options,
  })

export interface Answer {
  readonly status: number
  // biome-ignore lint/suspicious/noExplicitAny: replies of many shapes, looked into by tests
  readonly body: any
}

export async function ask(hub: Hub, method: string, path: string, body?: unknown): Promise<Answer> {
  const response = await fetch(`${hub.httpUrl}/api/v1/${path}`, {
    method,
    ...(body === undefined
      ? {}
      : { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } }),
  })
  const text = await response.text()
  return { status: response.status, body: text === '' ? null : JSON.parse(text) }
}

export const node = (hub: Hub): Promise<MqttClient> => connectAsync(hub.mqttUrl, { reconnectPeriod: 0 })

/** Publishes readings of one moment; resolves when they are acknowledged. */
export async function publish(
  client: MqttClient,
  id: string,
  atMs: number,
  values: Readonly<Record<string, number>>,
  garden = 'home',
): Promise<void> {
  const units: Record<string, string> = { 'air-temp': 'Cel', 'soil-temp': 'Cel', light: 'lx' }
  const pack = Object.entries(values).map(([n, v], i) => ({
    ...(i === 0 ? { bt: atMs / 1000 } : {}),
    n,
    ...(units[n] === undefined ? {} : { u: units[n] }),
    v,
  }))
  await client.publishAsync(`gardens/${garden}/nodes/${id}/readings`, JSON.stringify(pack), { qos: 1 })
}

export async function setUpHome(hub: Hub): Promise<void> {
  const steps: [string, string, object][] = [
    [
      'PUT',
      'gardens/home',
      { name: 'Plot', latitudeDeg: 55.7, longitudeDeg: 12.5, timeZone: 'Europe/Copenhagen' },
    ],
    ['PUT', 'gardens/home/beds/long', { name: 'Long', kind: 'raised', lengthM: 3, widthM: 1.2, depthM: 0.4 }],
    ['PUT', 'gardens/home/nodes/n1', { name: 'by the wall' }],
    ['POST', 'gardens/home/placements', { node: 'n1', bed: 'long', from: '2026-01-01T00:00:00Z' }],
  ]
  for (const [method, path, body] of steps) {
    const { status, body: answer } = await ask(hub, method, path, body)
    if (status !== 201) throw new Error(`${method} ${path}: ${status} ${JSON.stringify(answer)}`)
  }
}

/** Follows the garden's live events until told to stop. */
export async function followLive(
  hub: Hub,
): Promise<{ events: LiveEvent[]; ended: Promise<void>; stop(): void }> {
  const abort = new AbortController()
  const response = await fetch(`${hub.httpUrl}/api/v1/gardens/home/live`, { signal: abort.signal })
  const events: LiveEvent[] = []
  const reader = response.body!.pipeThrough(new TextDecoderStream()).getReader()
  const ended = (async () => {
    let buffer = ''
    for (;;) {
      const { done, value } = await reader.read()
      if (done) return
      buffer += value
      const blocks = buffer.split('\n\n')
      buffer = blocks.pop() ?? ''
      for (const block of blocks) {
        const data = /^data: (.*)$/m.exec(block)?.[1]
        if (data !== undefined) events.push(JSON.parse(data) as LiveEvent)
      }
    }
  })()
  // a stop by the test itself is no failure
  ended.catch(() => {})
  return { events, ended, stop: () => abort.abort() }
}
