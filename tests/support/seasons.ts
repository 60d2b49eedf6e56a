/**
 * A garden with years behind it, written straight into its data folder: three beds, a cabbage in each every year, journal and all.
 * Invented, and the same at every run.
 */
import { openSqliteGarden } from '../../hub/garden/sqlite-garden.js'
import type { Reading } from '../../hub/store/port.js'
import { openSqliteStore } from '../../hub/store/sqlite/open-sqlite-store.js'
import { JournalInput } from '../../shared/api/journal.js'

const MINUTE_MS = 60_000
const DAY_MS = 86_400_000
const PER_COMMIT = 40_000

export const SEASONS_GARDEN = {
  name: 'Mill Lane',
  latitudeDeg: 52.2,
  longitudeDeg: 0.1,
  elevationM: 15,
  timeZone: 'Europe/London',
}

/** As the weather below has it, to the degree: winters are not measured, so that a plan needs them. */
const SEASONS_NORMALS = {
  minC: [-2, -1, 1, 4, 8, 12, 14, 13, 10, 6, 2, -1],
  maxC: [8, 9, 11, 15, 19, 22, 24, 23, 20, 16, 11, 9],
  source: null,
}

/** How each bed differs from open ground: part of the light, warmth added, weight of a head, spacing. */
export const SEASONS_BEDS = [
  { id: 'south', name: 'South bed', light: 1, warmerC: 0.6, headKg: 1.15, spacingM: 0.5 },
  { id: 'middle', name: 'Middle bed', light: 0.75, warmerC: 0, headKg: 0.85, spacingM: 0.45 },
  { id: 'hedge', name: 'By the hedge', light: 0.45, warmerC: -0.5, headKg: 0.5, spacingM: 0.35 },
] as const

/** Measured from the first of March to the middle of November. */
const SEASON = { from: '03-01', to: '11-15' } as const

/** Some number between 0 and 1 that looks like chance, and is the same for the same n. */
const scattered = (n: number): number => {
  const x = Math.sin(n * 127.1 + 311.7) * 43_758.5453
  return x - Math.floor(x)
}

function airC(timeMs: number): number {
  const days = timeMs / DAY_MS
  const day = Math.floor(days)
  const season = 11 - 8 * Math.cos(((days - 20) / 365.25) * 2 * Math.PI)
  const weather = 4 * (scattered(Math.floor(day / 4)) - 0.5)
  return season + weather - 5 * Math.cos((days - day - 0.1) * 2 * Math.PI)
}

function lightLx(timeMs: number): number {
  const days = timeMs / DAY_MS
  const day = Math.floor(days)
  const half = 0.25 + 0.08 * Math.sin(((days - 80) / 365.25) * 2 * Math.PI)
  const part = (days - day - (0.5 - half)) / (2 * half)
  if (part <= 0 || part >= 1) return 0
  const cloud = scattered(Math.floor(timeMs / (90 * MINUTE_MS))) < 0.45 ? 0.22 : 1
  return Math.round(85_000 * Math.sin(part * Math.PI) ** 1.3 * cloud)
}

export interface SeasonsOptions {
  readonly dataDir: string
  /** first and last year */
  readonly from: number
  readonly to: number
  readonly everyMinutes: number
}

/** @returns how many readings were stored */
export async function writeSeasons({ dataDir, from, to, everyMinutes }: SeasonsOptions): Promise<number> {
  const garden = await openSqliteGarden({ dataDir })
  const store = await openSqliteStore({ dataDir })
  let stored = 0
  try {
    await garden.putGarden('home', SEASONS_GARDEN)
    await garden.putTemperatureNormals('home', SEASONS_NORMALS)
    for (const { id, name } of SEASONS_BEDS) {
      await garden.putBed('home', id, { name, kind: 'raised', lengthM: 2.4, widthM: 1.2, depthM: 0.4 })
      await garden.putNode('home', `node-${id}`, { name: `Node of ${name}` })
      await garden.addPlacement('home', {
        node: `node-${id}`,
        bed: id,
        fromMs: Date.parse(`${from}-${SEASON.from}T00:00:00Z`),
        toMs: null,
      })
    }
    let batch: Reading[] = []
    const flush = async (): Promise<void> => {
      if (batch.length > 0) stored += (await store.append(batch, batch.at(-1)!.timeMs)).stored
      batch = []
    }
    for (let year = from; year <= to; year++) {
      const [startMs, endMs] = [SEASON.from, SEASON.to].map((date) => Date.parse(`${year}-${date}T00:00:00Z`))
      for (let timeMs = startMs!; timeMs < endMs!; timeMs += everyMinutes * MINUTE_MS) {
        const [air, light] = [airC(timeMs), lightLx(timeMs)]
        for (const bed of SEASONS_BEDS) {
          const of = { garden: 'home', node: `node-${bed.id}`, timeMs, flags: 0 }
          batch.push(
            { ...of, quantity: 'air-temp', value: Math.round((air + bed.warmerC) * 10) / 10 },
            { ...of, quantity: 'soil-temp', value: Math.round((air * 0.6 + 5 + bed.warmerC) * 10) / 10 },
            { ...of, quantity: 'light', value: Math.round(light * bed.light) },
          )
        }
        if (batch.length >= PER_COMMIT) await flush()
      }
      await flush()
      await plantYear(garden, year)
    }
  } finally {
    await store.close()
    await garden.close()
  }
  return stored
}

type OpenGarden = Awaited<ReturnType<typeof openSqliteGarden>>

async function plantYear(garden: OpenGarden, year: number): Promise<void> {
  const writtenAtMs = Date.parse(`${year}-11-16T12:00:00Z`)
  for (const [i, bed] of SEASONS_BEDS.entries()) {
    const planting = await garden.addPlanting('home', {
      bed: bed.id,
      crop: 'cabbage-early',
      variety: i === 1 ? 'Lantern' : null,
      sownOn: `${year}-03-10`,
      plantedOutOn: `${year}-04-${18 + 2 * i}`,
      plants: 8,
      spacingM: bed.spacingM,
      finishedOn: `${year}-07-30`,
    })
    const heads = 8 - (i === 2 ? 2 : 0)
    const each = bed.headKg * (0.9 + 0.2 * scattered(year + i))
    const entries: readonly Record<string, unknown>[] = [
      { kind: 'fed', on: `${year}-05-12`, what: 'nettle tea' },
      { kind: 'fed', on: `${year}-05-28`, what: 'nettle tea' },
      { kind: 'netted', on: `${year}-04-24` },
      { kind: 'heads-started', on: `${year}-06-0${2 + i}` },
      { kind: 'firmness', on: `${year}-06-28`, firmness: 'giving' },
      { kind: 'cut', on: `${year}-07-06`, plants: 3, weightKg: round(3 * each), diameterMm: 150 },
      { kind: 'cut', on: `${year}-07-14`, plants: heads - 3, weightKg: round((heads - 3) * each * 1.05) },
      ...(i === 2 ? [{ kind: 'lost', on: `${year}-05-20`, plants: 2, what: 'slugs', note: 'wet week' }] : []),
    ]
    for (const [n, entry] of entries.entries()) {
      await garden.writeJournal(
        'home',
        `season-${year}-${bed.id}-${n}`,
        JournalInput.parse({ planting: planting.id, bed: bed.id, ...entry }),
        writtenAtMs,
      )
    }
  }
}

const round = (kg: number): number => Math.round(kg * 100) / 100
