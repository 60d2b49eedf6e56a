/**
 * The compose files and the services' settings. No container engine is needed: the files are parsed, and the very
 * same settings are tried by starting the real programs, with folders, ports and host names of this machine.
 */
import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterEach, describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import { z } from 'zod'
import { loadConfig } from '../../hub/config.js'
import { type Hub, startHub } from '../../hub/main.js'
import { newDataDir, publish, silent } from '../hub/hub-fixture.js'
import { until } from '../ingest/hub-under-test.js'
import { hasInfluxd, type InfluxdForTest, influxdNote, startInfluxd } from '../support/influxd.js'
import { hasMosquitto, type MosquittoForTest, mosquittoNote, startMosquitto } from '../support/mosquitto.js'

const root = join(import.meta.dirname, '../..')
const text = (path: string): Promise<string> => readFile(join(root, path), 'utf8')

const Service = z.looseObject({
  image: z.string().optional(),
  build: z.string().optional(),
  ports: z.array(z.string()).default([]),
  volumes: z.array(z.string()).default([]),
  environment: z.record(z.string(), z.string()).default({}),
  healthcheck: z.looseObject({ test: z.array(z.string()).min(2) }).optional(),
  restart: z.string().optional(),
})
const Compose = z.strictObject({
  services: z.record(z.string(), Service),
  volumes: z.record(z.string(), z.null()),
})

const FILES = ['docker-compose.yml', 'docker-compose.services.yml'] as const
const compose = async (file: string): Promise<z.infer<typeof Compose>> =>
  // !override is Compose's own tag: the list takes the place of the one it would be added to
  Compose.parse(parse(await text(file), { customTags: [{ tag: '!override', collection: 'seq' }] }))

const Readiness = z.strictObject({
  status: z.string(),
  parts: z.record(z.string(), z.boolean()),
  notices: z.array(z.string()),
})

describe('the compose files', () => {
  it.each(FILES)('%s opens ports to this machine only, and declares every volume it names', async (file) => {
    const { services, volumes } = await compose(file)
    for (const { ports, volumes: mounted } of Object.values(services)) {
      for (const port of ports) expect(port).toMatch(/^127\.0\.0\.1:\d+:\d+$/)
      for (const mount of mounted)
        if (!mount.startsWith('.')) expect(Object.keys(volumes)).toContain(mount.split(':')[0])
    }
  })

  it('pins every image to a version, and knows of each service whether it is well', async () => {
    const { services } = await compose('docker-compose.services.yml')
    for (const [name, service] of Object.entries(services)) {
      if (name === 'hub') continue
      expect(service.image).toMatch(/:\d+\.\d+\.\d+$/)
      expect(service.healthcheck).toBeDefined()
      expect(service.restart).toBe('unless-stopped')
    }
    expect(await text('Dockerfile')).toMatch(/^HEALTHCHECK/m)
  })

  it('has no password in it: each must be given, or nothing starts', async () => {
    const { services } = await compose('docker-compose.services.yml')
    const secrets = Object.values(services).flatMap(({ environment }) =>
      Object.entries(environment).filter(([name]) => name.endsWith('PASSWORD')),
    )
    expect(secrets).toHaveLength(3)
    for (const [, value] of secrets) expect(value).toMatch(/^\$\{HEARTING_[A-Z_]+:\?[^}]+\}$/)
    for (const line of (await text('deploy/env.example')).split('\n'))
      if (!line.startsWith('#') && line !== '') expect(line).toMatch(/^HEARTING_[A-Z_]+=$/)
  })

  it('gives the hub settings that it knows', async () => {
    const { environment } = (await compose('docker-compose.services.yml')).services.hub!
    const config = loadConfig(environment)
    expect(config).toMatchObject({ store: 'influx', brokerUrl: 'mqtt://mosquitto:1883' })
  })
})

describe.skipIf(!hasInfluxd || !hasMosquitto)(
  `the settings of the compose files, in the real programs${influxdNote}${mosquittoNote}`,
  () => {
    let hub: Hub | null = null
    let influxd: InfluxdForTest | null = null
    let mosquitto: MosquittoForTest | null = null
    let folder: Awaited<ReturnType<typeof newDataDir>> | null = null
    afterEach(async () => {
      await hub?.close()
      await Promise.all([influxd?.dispose(), mosquitto?.dispose(), folder?.remove()])
    })

    it('take a reading from a node into InfluxDB, and answer a page with it', async () => {
      ;[influxd, mosquitto, folder] = await Promise.all([
        startInfluxd({ settings: await text('deploy/influxdb/influxdb.conf') }),
        startMosquitto({
          users: { hub: 'of the hub', 'bed-a': 'leaf' },
          acl: await text('deploy/mosquitto/acl'),
          lines: (await text('deploy/mosquitto/mosquitto.conf'))
            .split('\n')
            .filter((line) => /^(max_|autosave)/.test(line)),
        }),
        newDataDir(),
      ])
      const { environment } = (await compose('docker-compose.services.yml')).services.hub!
      const config = loadConfig({
        ...environment,
        HEARTING_DATA_DIR: folder.dataDir,
        HEARTING_HTTP_PORT: '0',
        HEARTING_BROKER_URL: mosquitto.url,
        HEARTING_BROKER_PASSWORD: 'of the hub',
        HEARTING_INFLUX_URL: influxd.url,
        HEARTING_INFLUX_USER: influxd.user,
        HEARTING_INFLUX_PASSWORD: influxd.password,
      })
      const started = await startHub(config, { log: silent, doors: 'open', checkReplies: true })
      hub = started
      const readiness = async () => Readiness.parse(await (await fetch(`${started.httpUrl}/readyz`)).json())
      await until('it is ready', async () => (await readiness()).status === 'ready')
      expect(await readiness()).toEqual({
        status: 'ready',
        parts: { store: true, garden: true, broker: true },
        notices: [],
      })

      const { connectAsync } = await import('mqtt')
      const node = await connectAsync(mosquitto.url, { username: 'bed-a', password: 'leaf' })
      const atMs = Math.floor(Date.now() / 1000 - 60) * 1000
      await publish(node, 'bed-a', atMs, { 'air-temp': 17.5, light: 31_000 })
      await node.endAsync()
      const ask = async (q: string): Promise<string> => {
        const auth = Buffer.from(`${influxd!.user}:${influxd!.password}`).toString('base64')
        const url = `${influxd!.url}/query?${new URLSearchParams({ db: 'hearting', epoch: 'ms', q })}`
        return (await fetch(url, { headers: { authorization: `Basic ${auth}` } })).text()
      }
      await until('both are in InfluxDB', async () =>
        (await ask('SELECT count(value) FROM reading')).includes(',2]'),
      )
      expect(await ask("SELECT value FROM reading WHERE quantity = 'air-temp'")).toContain(`[${atMs},17.5]`)

      const metrics = await (await fetch(`${started.httpUrl}/metrics`)).text()
      expect(metrics).toMatch(/^hearting_readings_waiting 0$/m)
      expect(metrics).toMatch(/^hearting_broker_connects 1$/m)

      await influxd.kill()
      await until('the trouble is told', async () => (await readiness()).notices.length === 1)
      expect((await readiness()).notices[0]).toMatch(/database does not answer/)
      await mosquitto.stop()
      await until('it is not ready without a broker', async () => (await readiness()).status === 'not ready')
    })
  },
)
