import { execFile } from 'node:child_process'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import pino from 'pino'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { replayFile, surveyTidyCsv } from '../../hub/cli/replay.js'
import { FlagSurvey } from '../../hub/cli/replay-flags.js'
import { Config } from '../../hub/config.js'
import { type Hub, startHub } from '../../hub/main.js'
import { hasReferenceData, referencePath, skipNote } from '../support/reference-data.js'

const log = pino({ level: 'silent' })
const run = promisify(execFile)
const DAY_MS = 86_400_000

let dir = ''
let hub: Hub
beforeAll(async () => {
  dir = await mkdtemp(join(tmpdir(), 'hearting-replay-'))
  const config = Config.parse({ dataDir: join(dir, 'data'), httpPort: 0, mqttPort: 0, horizonDays: 36_500 })
  hub = await startHub(config, { log, doors: 'open' })
  await send('PUT', '', {
    name: 'Quay Row',
    latitudeDeg: 52,
    longitudeDeg: 5,
    elevationM: 2,
    timeZone: 'Europe/Amsterdam',
  })
})
afterAll(async () => {
  await hub.close()
  await rm(dir, { recursive: true, force: true })
})

async function send(method: string, path: string, body: unknown): Promise<void> {
  const response = await fetch(`${hub.httpUrl}/api/v1/gardens/home${path}`, {
    method,
    body: JSON.stringify(body),
    headers: { 'content-type': 'application/json' },
  })
  if (!response.ok) throw new Error(`${method} ${path}: ${response.status} ${await response.text()}`)
}

/** A node in a bed of its own, so that its readings can be asked for. */
async function placeNode(node: string): Promise<void> {
  await send('PUT', `/beds/${node}`, { name: node, kind: 'raised', lengthM: 2, widthM: 1 })
  await send('PUT', `/nodes/${node}`, { name: node })
  await send('POST', '/placements', { node, bed: node, from: '1990-01-01T00:00:00Z', to: null })
}

const RawSeries = z.object({ form: z.literal('raw'), time: z.array(z.number()), value: z.array(z.number()) })

async function storedReadings(node: string, quantity: string): Promise<[timeMs: number, value: number][]> {
  const query = new URLSearchParams({
    quantity,
    from: '1990-01-01T00:00:00Z',
    to: '2040-01-01T00:00:00Z',
    points: '5000',
  })
  const response = await fetch(`${hub.httpUrl}/api/v1/gardens/home/beds/${node}/series?${query}`)
  const series = RawSeries.parse(await response.json())
  return series.time.map((seconds, i) => [Math.round(seconds * 1000), series.value[i]!])
}

const target = (node: string) => ({ host: '127.0.0.1', port: hub.mqttPort, prefix: '', garden: 'home', node })

async function csv(name: string, lines: readonly string[]): Promise<string> {
  const path = join(dir, name)
  await writeFile(path, `${lines.join('\n')}\n`)
  return path
}

interface Ran {
  readonly code: number
  readonly stdout: string
  readonly stderr: string
}

/** The command itself, in a process of its own. */
async function hearting(...args: string[]): Promise<Ran> {
  try {
    const { stdout, stderr } = await run(process.execPath, ['--import', 'tsx', 'hub/cli/main.ts', ...args])
    return { code: 0, stdout, stderr }
  } catch (error) {
    const { code, stdout, stderr } = error as Ran
    return { code, stdout, stderr }
  }
}

const replayArgs = (file: string, node: string): string[] => [
  'replay',
  file,
  '--node',
  node,
  '--port',
  String(hub.mqttPort),
  '--http',
  hub.httpUrl,
]

describe('replay', () => {
  it('stores every reading with its original time and value', async () => {
    await placeNode('tern')
    const file = await csv('tern.csv', [
      '# site: a quay',
      'time,air_temp_c,soil_temp_c,light_lx,remark',
      '2027-05-06T14:10:00.250+02:00,17.5,,38100,dry',
      '2027-05-06T12:11:00Z,17.6,14.9,,',
      '2027-05-06T12:12:00Z,,,,',
    ])
    const outcome = await replayFile(file, target('tern'), 'max')
    expect(outcome).toMatchObject({
      sentReadings: 4,
      acknowledgedReadings: 4,
      failure: null,
      wasStopped: false,
    })
    const first = Date.UTC(2027, 4, 6, 12, 10, 0, 250)
    expect(await storedReadings('tern', 'air-temp')).toEqual([
      [first, 17.5],
      [Date.UTC(2027, 4, 6, 12, 11), 17.6],
    ])
    expect(await storedReadings('tern', 'soil-temp')).toEqual([[Date.UTC(2027, 4, 6, 12, 11), 14.9]])
    expect(await storedReadings('tern', 'light')).toEqual([[first, 38_100]])
  })

  it('doubles nothing when done again, and the first value stays', async () => {
    await placeNode('gull')
    const head = 'time,air_temp_c'
    await replayFile(await csv('g1.csv', [head, '2027-05-06T12:00:00Z,1']), target('gull'), 'max')
    await replayFile(
      await csv('g2.csv', [head, '2027-05-06T12:00:00Z,2', '2027-05-06T12:05:00Z,3']),
      target('gull'),
      'max',
    )
    expect(await storedReadings('gull', 'air-temp')).toEqual([
      [Date.UTC(2027, 4, 6, 12), 1],
      [Date.UTC(2027, 4, 6, 12, 5), 3],
    ])
  })

  it('sends more rows than fit a pack, several packs under way at once, and counts them all', async () => {
    await placeNode('rook')
    const rows = Array.from({ length: 4_321 }, (_, i) => {
      const time = new Date(Date.UTC(2027, 2, 1) + i * 60_000).toISOString()
      return `${time},${(i % 300) / 10}`
    })
    const file = await csv('rook.csv', ['time,soil_temp_c', ...rows])
    let reported = 0
    const outcome = await replayFile(file, target('rook'), 'max', {
      onProgress: ({ acknowledgedReadings }) => {
        expect(acknowledgedReadings).toBeGreaterThan(reported)
        reported = acknowledgedReadings
      },
    })
    expect(outcome).toMatchObject({ packs: 9, acknowledgedPacks: 9, acknowledgedReadings: 4_321 })
    expect(reported).toBe(4_321)
    expect(await storedReadings('rook', 'soil-temp')).toHaveLength(4_321)
  })

  it('takes the first column where two give one quantity', async () => {
    await placeNode('lark')
    await replayFile(
      await csv('lark.csv', ['time,lux,light_lx', '2027-05-06T12:00:00Z,10,20']),
      target('lark'),
      'max',
    )
    expect(await storedReadings('lark', 'light')).toEqual([[Date.UTC(2027, 4, 6, 12), 10]])
  })

  it('keeps to the pace asked for', async () => {
    const file = await csv('pace.csv', [
      'time,air_temp_c',
      '2027-05-06T12:00:00Z,1',
      '2027-05-06T12:00:30Z,2',
      '2027-05-06T12:01:00Z,3',
    ])
    const startMs = performance.now()
    const outcome = await replayFile(file, target('heron'), 100)
    // 60 s of readings at a hundredfold pace; the last may leave a tick early
    expect(performance.now() - startMs).toBeGreaterThan(300)
    expect(outcome).toMatchObject({ acknowledgedReadings: 3, packs: 3 })
  })

  it('stops when told, in the middle of a long wait, and says that it did', async () => {
    const file = await csv('stop.csv', [
      'time,air_temp_c',
      '2027-05-06T12:00:00Z,1',
      '2027-05-07T12:00:00Z,2',
    ])
    const stop = new AbortController()
    const replaying = replayFile(file, target('heron'), 1, {
      signal: stop.signal,
      onProgress: () => stop.abort(),
    })
    const outcome = await replaying
    expect(outcome).toMatchObject({ wasStopped: true, acknowledgedReadings: 1, failure: null })
  })

  it('refuses before sending anything when a later line is wrong', async () => {
    const file = await csv('late-fault.csv', [
      'time,air_temp_c',
      '2027-05-06T12:00:00Z,1',
      '2027-05-06T12:05:00Z,x',
    ])
    await expect(surveyTidyCsv(file)).rejects.toThrow(/late-fault\.csv, line 3: "x" in column air_temp_c/)
  })

  it('refuses times that the wire format cannot say, and files without a known column', async () => {
    const old = await csv('old.csv', ['time,air_temp_c', '1975-05-06T12:00:00Z,1'])
    await expect(surveyTidyCsv(old)).rejects.toThrow(/before July 1978/)
    const foreign = await csv('foreign.csv', ['time,wind_m_s', '2027-05-06T12:00:00Z,1'])
    await expect(surveyTidyCsv(foreign)).rejects.toThrow(/no column that is known.*air_temp_c.*wind_m_s/)
    const empty = await csv('empty.csv', ['time,air_temp_c', '2027-05-06T12:00:00Z,'])
    await expect(surveyTidyCsv(empty)).rejects.toThrow(/no readings/)
  })
})

describe('the replay command', () => {
  it('prints what was sent, stored, flagged and refused', async () => {
    const file = await csv('wren.csv', [
      'time,soil_temp_c',
      '2026-05-06T12:00:00Z,14',
      '2026-05-06T12:05:00Z,85',
    ])
    const first = await hearting(...replayArgs(file, 'wren'))
    expect(first).toMatchObject({ code: 0, stderr: '' })
    expect(first.stdout).toMatch(/sent +2 readings in 1 pack/)
    expect(first.stdout).toMatch(/stored +2 acknowledged; new to the hub 2, there already 0/)
    expect(first.stdout).toMatch(/flagged +1 of the file by the hub’s checks: sentinel 1/)
    expect(first.stdout).toMatch(/refused +0 packs/)
    const again = await hearting(...replayArgs(file, 'wren'))
    expect(again.stdout).toMatch(/new to the hub 0, there already 2/)
  })

  it('prints JSON for scripts', async () => {
    const file = await csv('json.csv', ['time,lux', '2026-05-06T12:00:00Z,14'])
    const { code, stdout } = await hearting(...replayArgs(file, 'finch'), '--json')
    expect(code).toBe(0)
    expect(JSON.parse(stdout)).toMatchObject({
      node: 'finch',
      firstTime: '2026-05-06T12:00:00.000Z',
      byQuantity: { light: 1 },
      acknowledgedReadings: 1,
      hub: { storedReadings: 1, refusedPacks: 0 },
      failure: null,
    })
  })

  it('says when the garden is not set up', async () => {
    const file = await csv('lost.csv', ['time,lux', '2026-05-06T12:00:00Z,14'])
    const { code, stdout } = await hearting(...replayArgs(file, 'finch'), '--garden', 'elsewhere')
    expect(code).toBe(0)
    expect(stdout).toMatch(/no garden "elsewhere" yet/)
  })

  it('says that the hub refused packs and why, and exits with 2', async () => {
    const file = await csv('prefix.csv', ['time,lux', '2026-05-06T12:00:00Z,14'])
    const { code, stdout } = await hearting(...replayArgs(file, 'finch'), '--prefix', 'somewhere/else')
    expect(stdout).toMatch(/stored +1 acknowledged; new to the hub 0/)
    expect(stdout).toMatch(/refused +1 pack: topic 1/)
    expect(code).toBe(2)
  })

  it('gives up when the hub cuts it off each time, and says what was refused', async () => {
    const dataDir = join(dir, 'narrow')
    const narrow = await startHub(
      Config.parse({ dataDir, httpPort: 0, mqttPort: 0, maxPacketBytes: 1_024 }),
      { log, doors: 'open' },
    )
    try {
      const rows = Array.from(
        { length: 50 },
        (_, i) => `2026-05-06T12:${String(i).padStart(2, '0')}:00Z,${i}`,
      )
      const file = await csv('wide.csv', ['time,lux', ...rows])
      const { code, stdout } = await hearting(
        ...['replay', file, '--node', 'finch', '--port', String(narrow.mqttPort), '--http', narrow.httpUrl],
      )
      expect(stdout).toMatch(/stored +0 of the file’s 50 acknowledged; new to the hub 0/)
      expect(stdout).toMatch(/refused +\d packs: too-large \d\. The hub says: /)
      expect(stdout).toMatch(/HEARTING_MAX_PACKET_BYTES/)
      expect(code).toBe(1)
    } finally {
      await narrow.close()
    }
  })

  it('is honest about what it cannot know when the page does not answer', async () => {
    const file = await csv('page.csv', ['time,lux', '2026-05-06T12:00:00Z,14'])
    const args = replayArgs(file, 'finch').with(-1, hub.mqttUrl.replace('mqtt:', 'http:'))
    const { code, stdout } = await hearting(...args)
    expect(code).toBe(0)
    expect(stdout).toMatch(/refused +unknown: nothing answers at/)
  })

  it.each([
    ['an unknown file', ['replay', 'absent.csv', '--node', 'a'], /absent\.csv: no such file/],
    [
      'a node’s name that cannot be one',
      ['replay', 'a.csv', '--node', 'A b'],
      /small letters, digits or hyphens/,
    ],
    [
      'a speed of nothing',
      ['replay', 'a.csv', '--node', 'a', '--speed', '0'],
      /"max", or how many times faster/,
    ],
    ['a prefix with a wildcard', ['replay', 'a.csv', '--node', 'a', '--prefix', 'a/#'], /prefix/],
    ['no node', ['replay', 'a.csv'], /--node/],
  ])('complains about %s', async (_what, args, message) => {
    const { code, stderr } = await hearting(...args)
    expect(code).toBe(1)
    expect(stderr).toMatch(message)
    expect(stderr).not.toMatch(/ at .*\.ts:/)
  })

  it('says so when no hub runs, or the port is that of the page', async () => {
    const file = await csv('none.csv', ['time,lux', '2026-05-06T12:00:00Z,14'])
    const nobody = await hearting('replay', file, '--node', 'a', '--port', '9')
    expect(nobody.code).toBe(1)
    expect(nobody.stderr).toMatch(/Nothing answers at 127\.0\.0\.1:9 .*Is the hub running/s)
    const page = await hearting('replay', file, '--node', 'a', '--port', new URL(hub.httpUrl).port)
    expect(page.code).toBe(1)
    expect(page.stderr).toMatch(/not as an MQTT broker.*--port/s)
  })
})

const WITH_TIME = [
  'dtu-lyngby-1min/dtu_2016_05.tidy.csv.gz',
  'dtu-lyngby-1min/dtu_2017_06.tidy.csv.gz',
  'dtu-lyngby-1min/dtu_2018_08.tidy.csv.gz',
  'sml2010-15min/sml2010-1.tidy.csv.gz',
  'surfrad-alamosa-1min/surfrad-slv16001.tidy.csv.gz',
  'tharandt-30min/tharandt-1998.tidy.csv.gz',
  'tuebingen-lux-30s/roof-lux.tidy.csv.gz',
  'us-crt-30min/us-crt-2011-01.tidy.csv',
  'winters-hourly/winters-2008.tidy.csv.gz',
]
const DAILY = [
  'seattle-daily/seattle-2012-2015.tidy.csv',
  'uscrn-manhattan-daily/uscrn-manhattan-2003-2017.tidy.csv',
]

describe.skipIf(!hasReferenceData)(`replay of measured weather${skipNote}`, () => {
  it.each(WITH_TIME)('stores every reading of %s', async (name) => {
    const node = name.replace(/^.*\/|\..*$/g, '').replaceAll('_', '-')
    const before = await metric('hearting_readings_stored_total')
    const survey = await surveyTidyCsv(referencePath(name))
    const outcome = await replayFile(referencePath(name), target(node), 'max')
    expect(outcome.acknowledgedReadings).toBe(survey.readings)
    expect((await metric('hearting_readings_stored_total')) - before).toBe(survey.readings)
    expect(await metric('hearting_readings_repeated_total')).toBeGreaterThanOrEqual(0)
  })

  it('finds the known faults of a summer among the flags, and little else', async () => {
    const flags = new FlagSurvey()
    await surveyTidyCsv(referencePath('dtu-lyngby-1min/dtu_2018_08.tidy.csv.gz'), (reading) =>
      flags.add(reading),
    )
    const counts = flags.count(Date.UTC(2018, 8, 2), 400 * DAY_MS)
    expect(counts.byFlag.dropout).toBe(3)
    expect(counts.byFlag.clock).toBeUndefined()
  })

  it.each(DAILY)('explains why %s, a table of days, cannot be replayed', async (name) => {
    await expect(surveyTidyCsv(referencePath(name))).rejects.toThrow(/table of days/)
  })
})

async function metric(name: string): Promise<number> {
  const text = await (await fetch(`${hub.httpUrl}/metrics`)).text()
  const value = new RegExp(`^${name} (\\S+)`, 'm').exec(text)?.[1]
  if (value === undefined) throw new Error(`there is no metric ${name}`)
  return Number(value)
}
