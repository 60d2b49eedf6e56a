import { existsSync } from 'node:fs'
import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises'
import { type AddressInfo, createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pino from 'pino'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { type Demo, startDemo } from '../../../hub/cli/demo/start-demo.js'
import { Bed, Garden, Planting } from '../../../shared/api/garden.js'
import { JournalEntry } from '../../../shared/api/journal.js'
import { DayRecord, NodeStatus, Today } from '../../../shared/api/measurements.js'
import { addDays } from '../../../shared/local-time.js'

const log = pino({ level: 'silent' })
/** a spring morning in the demo's southern garden */
const STARTED_MS = Date.UTC(2026, 10, 25, 0, 30)
const HOUR_MS = 3_600_000

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

async function tempDir(): Promise<string> {
  const dir = await mkdtemp(join(tmpdir(), 'hearting-demo-test-'))
  ends.push(() => rm(dir, { recursive: true, force: true }))
  return dir
}

const start = (
  dataDir: string | null,
  nowMs: number,
  options: { readonly say?: (line: string) => void; readonly historyDays?: number } = {},
): Promise<Demo> =>
  startDemo({
    httpPort: 0,
    mqttPort: 0,
    dataDir,
    log,
    say: () => {},
    showBar: false,
    now: () => nowMs,
    ...options,
  })

/** for what does not depend on months of weather */
const SHORT = { historyDays: 6 }

async function ask<T>(demo: Demo, path: string, shape: z.ZodType<T>): Promise<T> {
  const response = await fetch(`${demo.hub.httpUrl}/api/v1/gardens/home${path}`)
  if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`)
  return shape.parse(await response.json())
}

describe('the demo', () => {
  let demo: Demo
  let dir = ''
  const said: string[] = []
  beforeAll(async () => {
    dir = await mkdtemp(join(tmpdir(), 'hearting-demo-test-'))
    demo = await start(dir, STARTED_MS, { say: (line) => said.push(line) })
    // four months of weather are made and stored: on a busy machine that takes its time
  }, 180_000)
  afterAll(async () => {
    await demo.close()
    await rm(dir, { recursive: true, force: true })
  })

  it('says on the console and in the garden’s name that it is made up', async () => {
    expect(said.join('\n')).toMatch(/made up\. Nothing here was measured/)
    expect((await ask(demo, '', Garden)).name).toMatch(/invented/)
  })

  it('has three beds, each with a node that is awake and measures now', async () => {
    expect(await ask(demo, '/beds', z.array(Bed))).toHaveLength(3)
    const nodes = await ask(demo, '/nodes', z.array(NodeStatus))
    expect(nodes).toHaveLength(3)
    for (const { presence, bed, latest } of nodes) {
      expect(presence).toBe('awake')
      expect(bed).not.toBeNull()
      const byQuantity = new Map(latest.map((value) => [value.quantity, Date.parse(value.time)]))
      for (const quantity of ['air-temp', 'soil-temp', 'light'])
        expect(byQuantity.get(quantity)).toBe(STARTED_MS)
    }
  })

  it('has months of whole days behind it, with the faults that gardens have', async () => {
    const today = '2026-11-25'
    const days = await ask(
      demo,
      `/beds/wall-bed/days?from=${addDays(today, -121)}&to=${today}`,
      z.array(DayRecord),
    )
    expect(days).toHaveLength(122)
    const whole = days.filter(({ provisional }) => !provisional)
    expect(whole.length).toBeGreaterThan(118)
    // the day without a battery
    expect(days.some(({ airCoverage, date }) => date !== today && airCoverage < 0.8)).toBe(true)
    for (const { airTempMinC, airTempMaxC, soilTempMeanC } of whole) {
      expect(airTempMinC).toBeGreaterThan(-5)
      expect(airTempMaxC).toBeLessThan(38)
      expect(soilTempMeanC).toBeGreaterThan(0)
    }
  })

  it('has heads forming while it is warm', async () => {
    const { beds } = await ask(demo, '/today', Today)
    const plantings = beds.flatMap((bed) => bed.plantings)
    expect(plantings.map(({ crop }) => crop).sort()).toEqual([
      'broccoli',
      'cabbage-early',
      'cabbage-early',
      'lettuce-head',
    ])
    for (const { crop, stage } of plantings) {
      expect(stage).toBe(crop === 'broccoli' ? 'leafing' : 'heading')
    }
    const days = await ask(demo, '/beds/long-bed/days?from=2026-11-21&to=2026-11-24', z.array(DayRecord))
    expect(Math.max(...days.map(({ heatHours }) => heatHours ?? 0))).toBeGreaterThan(4)
  })
})

describe('the demo’s journal', () => {
  it('tells of each planting from its sowing on, and of nothing that is to come', async () => {
    const demo = await start(null, STARTED_MS, SHORT)
    ends.push(() => demo.close())
    const plantings = await ask(demo, '/plantings', z.array(Planting))
    const entries = await ask(demo, '/journal', z.array(JournalEntry))
    expect(entries.at(-1)!.on <= '2026-11-25').toBe(true)
    for (const { id, sownOn, plantedOutOn } of plantings) {
      const kinds = new Map(entries.filter((e) => e.planting === id).map(({ kind, on }) => [kind, on]))
      expect(kinds.get('sown')).toBe(sownOn)
      expect(kinds.get('planted-out')).toBe(plantedOutOn)
      expect(kinds.size).toBeGreaterThan(4)
    }
  })
})

describe('a demo in a folder of its own', () => {
  it('goes on where it was when it is started again, filling the time between', async () => {
    const dir = await tempDir()
    const first = await start(dir, STARTED_MS, SHORT)
    const before = await ask(first, '/nodes', z.array(NodeStatus))
    await first.close()
    const later = STARTED_MS + 3 * HOUR_MS
    const said: string[] = []
    const second = await start(dir, later, { ...SHORT, say: (line) => said.push(line) })
    ends.push(() => second.close())
    // three hours of three nodes, not four months
    expect(Number(/([\d,]+) readings/.exec(said.join('\n'))?.[1]?.replace(',', ''))).toBeLessThan(3 * 3 * 110)
    const after = await ask(second, '/nodes', z.array(NodeStatus))
    expect(after.map(({ id }) => id)).toEqual(before.map(({ id }) => id))
    const day = await ask(second, '/beds/long-bed/days?from=2026-11-25&to=2026-11-25', z.array(DayRecord))
    expect(day[0]?.airCoverage).toBeGreaterThan(0.99)
    expect((await ask(second, '/today', Today)).beds.flatMap((bed) => bed.plantings)).toHaveLength(4)
  })

  it('leaves the data of a real garden alone', async () => {
    const dir = await tempDir()
    await writeFile(join(dir, 'garden.sqlite'), '')
    await expect(start(dir, STARTED_MS)).rejects.toThrow(/real garden.*--data-dir/)
    expect(await readdir(dir)).toEqual(['garden.sqlite'])
  })

  it('says that its season is over after months', async () => {
    const dir = await tempDir()
    await (await start(dir, STARTED_MS, SHORT)).close()
    await expect(start(dir, STARTED_MS + 90 * 24 * HOUR_MS)).rejects.toThrow(/its season is over/)
  })
})

describe('a demo without a folder', () => {
  it('leaves nothing behind', async () => {
    const demo = await start(null, STARTED_MS, SHORT)
    const { dataDir } = demo.hub
    expect(existsSync(join(dataDir, 'readings.sqlite'))).toBe(true)
    await demo.close()
    expect(existsSync(dataDir)).toBe(false)
  })

  it('leaves nothing behind when a port is taken, and fails with the reason', async () => {
    const server = createServer()
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    ends.push(() => new Promise((resolve) => server.close(resolve)))
    const { port } = server.address() as AddressInfo
    const folders = async (): Promise<string[]> =>
      (await readdir(tmpdir())).filter((name) => name.startsWith('hearting-demo-') && !name.includes('test'))
    const before = await folders()
    await expect(
      startDemo({ httpPort: 0, mqttPort: port, dataDir: null, log, say: () => {}, showBar: false, ...SHORT }),
    ).rejects.toMatchObject({ code: 'EADDRINUSE', port })
    expect((await folders()).filter((name) => !before.includes(name))).toEqual([])
  })
})
