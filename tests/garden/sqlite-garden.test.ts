import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { GardenError, type GardenRepository, type StoredWarning } from '../../hub/garden/port.js'
import { openSqliteGarden } from '../../hub/garden/sqlite-garden.js'
import type { PlantingInput } from '../../shared/api/garden.js'
import type { DayRecord } from '../../shared/api/measurements.js'

const HOME = {
  name: 'Home',
  latitudeDeg: 55.7,
  longitudeDeg: 12.5,
  elevationM: 20,
  timeZone: 'Europe/Copenhagen',
}
const BED = { name: 'South bed', kind: 'raised', lengthM: 2.4, widthM: 1.2, depthM: 0.3 } as const
const T0 = Date.parse('2027-05-01T00:00:00Z')
const HOUR = 3_600_000

let dataDir: string
let garden: GardenRepository
/** each test has a garden of its own in the one database */
let id: string
let gardens = 0

beforeAll(async () => {
  dataDir = await mkdtemp(join(tmpdir(), 'hearting-garden-'))
  garden = await openSqliteGarden({ dataDir })
})
beforeEach(async () => {
  id = `g${gardens++}`
  await garden.putGarden(id, HOME)
  await garden.putBed(id, 'south', BED)
  await garden.putBed(id, 'wall', { ...BED, name: 'By the wall' })
  await garden.putNode(id, 'n1', { name: 'First node' })
  await garden.putNode(id, 'n2', { name: 'Second node' })
})
afterAll(async () => {
  await garden.close()
  await rm(dataDir, { recursive: true })
})

const reopen = async (): Promise<void> => {
  await garden.close()
  garden = await openSqliteGarden({ dataDir })
}

/** Code, field and message of a refusal; fails where nothing is refused. */
async function refusal(work: Promise<unknown>): Promise<GardenError> {
  const error = await work.then(
    () => null,
    (e: unknown) => e,
  )
  if (!(error instanceof GardenError)) throw new Error(`no GardenError, but ${String(error)}`)
  return error
}

describe('gardens, beds and nodes', () => {
  it('are there after a restart, as they were put', async () => {
    await reopen()
    expect(await garden.listGardens()).toContainEqual({ id, ...HOME })
    expect(await garden.getBed(id, 'south')).toEqual({ id: 'south', ...BED })
    expect((await garden.listBeds(id)).map((b) => b.id)).toEqual(['wall', 'south'])
    expect(await garden.getNode(id, 'n1')).toEqual({ id: 'n1', name: 'First node' })
  })

  it('are replaced by a second put, keeping what hangs on them', async () => {
    const placed = await garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: T0, toMs: null })
    await garden.putBed(id, 'south', { ...BED, name: 'Renamed', depthM: null })
    await garden.putGarden(id, { ...HOME, name: 'Moved', latitudeDeg: -36.8 })
    expect(await garden.getBed(id, 'south')).toMatchObject({ name: 'Renamed', depthM: null })
    expect(await garden.getGarden(id)).toMatchObject({ name: 'Moved', latitudeDeg: -36.8 })
    expect(await garden.listPlacements(id)).toEqual([placed])
  })

  it('of two gardens are kept apart', async () => {
    await garden.putGarden('allotment', { ...HOME, name: 'Allotment' })
    await garden.putBed('allotment', 'south', { ...BED, name: 'Other' })
    expect(await garden.listBeds('allotment')).toHaveLength(1)
    expect((await garden.getBed(id, 'south'))?.name).toBe('South bed')
  })

  it('that are missing are null, not errors', async () => {
    expect(await garden.getGarden('nowhere')).toBeNull()
    expect(await garden.getBed(id, 'none')).toBeNull()
    expect(await garden.getNode('nowhere', 'n1')).toBeNull()
    expect(await garden.deleteBed(id, 'none')).toBe(false)
    expect(await garden.deleteNode(id, 'none')).toBe(false)
  })

  it('cannot be put into a garden that does not exist', async () => {
    expect((await refusal(garden.putBed('nowhere', 'b', BED))).code).toBe('UNKNOWN_GARDEN')
    expect((await refusal(garden.putNode('nowhere', 'n', { name: 'N' }))).code).toBe('UNKNOWN_GARDEN')
  })

  it('that are still used cannot be deleted, and the message says by what', async () => {
    const placed = await garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: T0, toMs: null })
    const bed = await refusal(garden.deleteBed(id, 'south'))
    expect(bed.code).toBe('STILL_USED')
    expect(bed.message).toContain('no plantings and 1 placement')
    expect((await refusal(garden.deleteNode(id, 'n1'))).code).toBe('STILL_USED')
    await garden.deletePlacement(id, placed.id)
    expect(await garden.deleteBed(id, 'south')).toBe(true)
    expect(await garden.deleteNode(id, 'n1')).toBe(true)
    expect(await garden.getBed(id, 'south')).toBeNull()
  })
})

describe('placements', () => {
  it('are listed by bed and start, with ids of their own', async () => {
    const b = await garden.addPlacement(id, {
      node: 'n1',
      bed: 'wall',
      fromMs: T0 + 5 * HOUR,
      toMs: null,
    })
    const a = await garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: T0, toMs: T0 + 5 * HOUR })
    const c = await garden.addPlacement(id, { node: 'n2', bed: 'south', fromMs: T0 - HOUR, toMs: null })
    expect(await garden.listPlacements(id)).toEqual([c, a, b])
    expect(await garden.listPlacements(id, 'wall')).toEqual([b])
    expect(new Set([a.id, b.id, c.id]).size).toBe(3)
  })

  it.each([
    ['while it is still elsewhere', { fromMs: T0 + 20 * HOUR, toMs: null }, 'from'],
    ['inside an earlier one', { fromMs: T0 + 2 * HOUR, toMs: T0 + 3 * HOUR }, 'from'],
    ['over the start of an earlier one', { fromMs: T0 - 2 * HOUR, toMs: T0 + HOUR }, 'to'],
    ['around an earlier one', { fromMs: T0 - 2 * HOUR, toMs: T0 + 6 * HOUR }, 'to'],
    ['for ever from before an earlier one', { fromMs: T0 - 2 * HOUR, toMs: null }, 'to'],
  ])('of one node %s are refused', async (_what, times, field) => {
    await garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: T0, toMs: T0 + 5 * HOUR })
    await garden.addPlacement(id, { node: 'n1', bed: 'wall', fromMs: T0 + 9 * HOUR, toMs: null })
    const error = await refusal(garden.addPlacement(id, { node: 'n1', bed: 'south', ...times }))
    expect(error).toMatchObject({ code: 'OVERLAP', field })
    expect(await garden.listPlacements(id)).toHaveLength(2)
  })

  it('may touch end to start, and two nodes may stand in one bed', async () => {
    await garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: T0, toMs: T0 + HOUR })
    await garden.addPlacement(id, { node: 'n1', bed: 'wall', fromMs: T0 + HOUR, toMs: null })
    await garden.addPlacement(id, { node: 'n2', bed: 'wall', fromMs: T0, toMs: null })
    expect(await garden.listPlacements(id)).toHaveLength(3)
  })

  it('that end when or before they start are refused', async () => {
    const error = await refusal(garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: T0, toMs: T0 }))
    expect(error).toMatchObject({ code: 'OUT_OF_ORDER', field: 'to' })
  })

  it('of unknown beds and nodes are refused, naming the field', async () => {
    const at = { fromMs: T0, toMs: null }
    expect(await refusal(garden.addPlacement(id, { node: 'n1', bed: 'x', ...at }))).toMatchObject({
      code: 'UNKNOWN_BED',
      field: 'bed',
    })
    expect(await refusal(garden.addPlacement(id, { node: 'x', bed: 'south', ...at }))).toMatchObject({
      code: 'UNKNOWN_NODE',
      field: 'node',
    })
  })

  it('can be ended and moved, but not over another', async () => {
    const first = await garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: T0, toMs: null })
    const ended = { ...first, toMs: T0 + HOUR }
    expect(await garden.changePlacement(id, ended)).toEqual(ended)
    await garden.addPlacement(id, { node: 'n1', bed: 'wall', fromMs: T0 + HOUR, toMs: null })
    expect((await refusal(garden.changePlacement(id, first))).code).toBe('OVERLAP')
    expect(await garden.listPlacements(id, 'south')).toEqual([ended])
    expect(await garden.changePlacement(id, { ...first, id: 'none' })).toBeNull()
  })
})

describe('plantings', () => {
  const planting: PlantingInput = {
    bed: 'south',
    crop: 'cabbage-early',
    variety: 'Pointed',
    sownOn: '2027-03-01',
    plantedOutOn: '2027-04-10',
    plants: 12,
    spacingM: 0.4,
    finishedOn: null,
  }

  it('are kept whole, changed and deleted', async () => {
    const added = await garden.addPlanting(id, planting)
    await reopen()
    expect(await garden.getPlanting(id, added.id)).toEqual({ id: added.id, ...planting })
    const finished = { ...planting, finishedOn: '2027-07-01', bed: 'wall' }
    expect(await garden.changePlanting(id, added.id, finished)).toEqual({ id: added.id, ...finished })
    expect(await garden.listPlantings(id, 'south')).toEqual([])
    expect(await garden.listPlantings(id, 'wall')).toHaveLength(1)
    expect(await garden.deletePlanting(id, added.id, { withJournal: false, atMs: 0 })).toBe(true)
    expect(await garden.getPlanting(id, added.id)).toBeNull()
    expect(await garden.changePlanting(id, added.id, planting)).toBeNull()
  })

  it.each([
    [{ plantedOutOn: '2027-02-28' }, 'plantedOutOn'],
    [{ finishedOn: '2027-04-09' }, 'finishedOn'],
    [{ plantedOutOn: null, finishedOn: '2027-02-01' }, 'finishedOn'],
  ])('with dates out of order %j are refused, naming the field', async (dates, field) => {
    expect(await refusal(garden.addPlanting(id, { ...planting, ...dates }))).toMatchObject({
      code: 'OUT_OF_ORDER',
      field,
    })
  })

  it('may have no dates yet', async () => {
    const undated = { ...planting, sownOn: null, plantedOutOn: null }
    expect(await garden.addPlanting(id, undated)).toMatchObject(undated)
  })

  it('hold their bed back from being deleted', async () => {
    await garden.addPlanting(id, planting)
    expect((await refusal(garden.deleteBed(id, 'south'))).message).toContain('1 planting')
  })
})

describe('cached day records', () => {
  const computation = { version: 1, options: '', basis: 'a' }
  const day = (date: string): DayRecord => ({
    date,
    sunHours: 0.1 + 0.2,
    possibleSunHours: 15,
    sunCoverage: 1,
    dliMolM2: null,
    airTempMinC: 5,
    airTempMaxC: 20,
    airTempMeanC: 1 / 3,
    airCoverage: 1,
    soilTempMinC: null,
    soilTempMaxC: null,
    soilTempMeanC: null,
    soilCoverage: 0,
    degreeDaysC: 8,
    heatHours: 0,
    chillHours: 6,
    provisional: false,
  })
  const dates = async (bed = 'south'): Promise<string[]> =>
    (await garden.cachedDays(id, bed, '2027-01-01', '2027-12-31', computation)).map((r) => r.date)

  beforeEach(async () => {
    const records = ['2027-05-01', '2027-05-02', '2027-05-03', '2027-05-04'].map(day)
    await garden.cacheDays(id, 'south', computation, records)
    await garden.cacheDays(id, 'wall', computation, records)
  })

  it('come back byte for byte', async () => {
    const [back] = await garden.cachedDays(id, 'south', '2027-05-02', '2027-05-02', computation)
    expect(JSON.stringify(back)).toBe(JSON.stringify(day('2027-05-02')))
  })

  it('of another version, other options or another basis are not given', async () => {
    const all = ['2027-01-01', '2027-12-31'] as const
    expect(await garden.cachedDays(id, 'south', ...all, { ...computation, version: 2 })).toEqual([])
    expect(await garden.cachedDays(id, 'south', ...all, { ...computation, options: 'base 0' })).toEqual([])
    expect(await garden.cachedDays(id, 'south', ...all, { ...computation, basis: 'b' })).toEqual([])
  })

  it('are forgotten by dates, both included, in one bed', async () => {
    await garden.forgetDays(id, 'south', '2027-05-02', '2027-05-03')
    expect(await dates()).toEqual(['2027-05-01', '2027-05-04'])
    expect(await dates('wall')).toHaveLength(4)
    await garden.forgetDays(id, 'wall')
    expect(await dates('wall')).toEqual([])
  })

  it('go when the garden moves or changes its zone, not when it is renamed', async () => {
    await garden.putGarden(id, { ...HOME, name: 'Renamed' })
    expect(await dates()).toHaveLength(4)
    await garden.putGarden(id, { ...HOME, timeZone: 'Europe/Berlin' })
    expect(await dates()).toEqual([])
  })

  it('go with a placement that is added, changed or deleted, in the beds it concerns', async () => {
    const placed = await garden.addPlacement(id, { node: 'n1', bed: 'south', fromMs: T0, toMs: null })
    expect([await dates('south'), await dates('wall')]).toEqual([[], expect.any(Array)])
    await garden.cacheDays(id, 'south', computation, [day('2027-05-01')])
    await garden.changePlacement(id, { ...placed, bed: 'wall' })
    expect([await dates('south'), await dates('wall')]).toEqual([[], []])
    await garden.cacheDays(id, 'wall', computation, [day('2027-05-01')])
    await garden.deletePlacement(id, placed.id)
    expect(await dates('wall')).toEqual([])
  })
})

describe('warnings', () => {
  let frost: StoredWarning = {
    id: 'set for each test',
    kind: 'frost',
    cause: 'frost/south',
    bed: 'south',
    node: null,
    planting: null,
    severity: 'Moderate',
    urgency: 'Immediate',
    certainty: 'Observed',
    headline: 'Frost',
    why: '−1.2 °C',
    advice: 'Cover',
    raisedAtMs: T0,
    updatedAtMs: T0,
    clearedAtMs: null,
    seenAtMs: null,
    onsetMs: T0 + 3_600_000,
    expiresMs: null,
    chance: 0.4,
  }

  beforeEach(() => {
    frost = { ...frost, id: `w-${id}` }
  })

  it('stay open over a restart until they are cleared', async () => {
    await garden.saveWarning(id, frost)
    await reopen()
    expect(await garden.openWarnings(id)).toEqual([frost])
    await garden.saveWarning(id, { ...frost, clearedAtMs: T0 + HOUR })
    expect(await garden.openWarnings(id)).toEqual([])
    expect(await garden.listWarnings(id, 10)).toEqual([{ ...frost, clearedAtMs: T0 + HOUR }])
  })

  it('that were seen stay seen when an update from before is saved', async () => {
    await garden.saveWarning(id, frost)
    expect(await garden.markWarningSeen(id, frost.id, T0 + 1)).toEqual({ ...frost, seenAtMs: T0 + 1 })
    await garden.saveWarning(id, { ...frost, why: '−2.0 °C', updatedAtMs: T0 + 2 })
    expect(await garden.openWarnings(id)).toMatchObject([{ why: '−2.0 °C', seenAtMs: T0 + 1 }])
    expect(await garden.markWarningSeen(id, 'none', T0)).toBeNull()
  })

  it('are listed open ones first, then the latest, up to the limit', async () => {
    for (const n of [1, 2, 3, 4]) {
      await garden.saveWarning(id, {
        ...frost,
        id: `${frost.id}-${n}`,
        cause: `c${n}`,
        raisedAtMs: T0 + n,
        clearedAtMs: n === 1 ? null : T0 + 9,
      })
    }
    expect((await garden.listWarnings(id, 3)).map((w) => w.cause)).toEqual(['c1', 'c4', 'c3'])
  })
})

describe('the file', () => {
  it('of a newer program is refused with what to do, and left alone', async () => {
    await garden.close()
    const db = new Database(join(dataDir, 'garden.sqlite'))
    const ownVersion = db.pragma('user_version', { simple: true })
    db.pragma('user_version = 999')
    db.close()
    const error = await refusal(openSqliteGarden({ dataDir }))
    expect(error.code).toBe('GARDEN_UNAVAILABLE')
    expect(error.message).toContain('newer hearting')
    const again = new Database(join(dataDir, 'garden.sqlite'))
    again.pragma(`user_version = ${ownVersion}`)
    again.close()
    garden = await openSqliteGarden({ dataDir })
    expect(await garden.listBeds(id)).toHaveLength(2)
  })

  it('that is not a database is refused', async () => {
    const other = await mkdtemp(join(tmpdir(), 'hearting-garden-'))
    await writeFile(join(other, 'garden.sqlite'), 'not a database, but long enough to look at'.repeat(100))
    expect((await refusal(openSqliteGarden({ dataDir: other }))).code).toBe('GARDEN_UNAVAILABLE')
    await rm(other, { recursive: true })
  })

  it('when closed makes every call fail as unavailable', async () => {
    await garden.close()
    await garden.close()
    expect((await refusal(garden.listGardens())).code).toBe('GARDEN_UNAVAILABLE')
    garden = await openSqliteGarden({ dataDir })
  })
})
