import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { GardenRepository } from '../../hub/garden/port.js'
import { openSqliteGarden } from '../../hub/garden/sqlite-garden.js'

let dataDir: string
let garden: GardenRepository
let planting: string

beforeEach(async () => {
  dataDir = await mkdtemp(join(tmpdir(), 'hearting-growing-'))
  garden = await openSqliteGarden({ dataDir })
  await garden.putGarden('home', {
    name: 'Home',
    latitudeDeg: 55.7,
    longitudeDeg: 12.5,
    elevationM: 0,
    timeZone: 'Europe/Copenhagen',
  })
  await garden.putBed('home', 'south', { name: 'South', kind: 'raised', lengthM: 2, widthM: 1, depthM: 0.3 })
  planting = (await garden.addPlanting('home', PLANTING)).id
})
afterEach(async () => {
  await garden.close()
  await rm(dataDir, { recursive: true, force: true })
})

const PLANTING = {
  bed: 'south',
  crop: 'cabbage-early',
  variety: null,
  sownOn: null,
  plantedOutOn: '2027-04-10',
  plants: 8,
  spacingM: 0.4,
  finishedOn: null,
}

describe('crops of the grower', () => {
  it('are kept whole and can be taken back', async () => {
    const own = { id: 'cabbage-early', basedOn: 'cabbage-early', name: null, adjustments: { baseC: 3 } }
    await garden.putCrop('home', own)
    await garden.putCrop('home', { ...own, adjustments: { upperC: 25 } })
    expect(await garden.listCrops('home')).toEqual([{ ...own, adjustments: { upperC: 25 } }])
    // it is planted, but the library still has it
    expect(await garden.deleteCrop('home', 'cabbage-early')).toBe(true)
    expect(await garden.deleteCrop('home', 'cabbage-early')).toBe(false)
  })

  it('stay while something of them grows that only the grower knows', async () => {
    await garden.putCrop('home', { id: 'aunts', basedOn: 'cabbage-early', name: 'Aunt’s', adjustments: {} })
    await garden.changePlanting('home', planting, { ...PLANTING, crop: 'aunts' })
    await expect(garden.deleteCrop('home', 'aunts')).rejects.toMatchObject({ code: 'STILL_USED' })
  })
})

describe('mutes, normals and forecasts', () => {
  it('replace what there was', async () => {
    await garden.putMutes('home', planting, ['frost', 'warm-spell', 'frost'])
    expect(await garden.listMutes('home')).toEqual([
      { planting, kind: 'frost' },
      { planting, kind: 'warm-spell' },
    ])
    await garden.putMutes('home', planting, [])
    expect(await garden.listMutes('home')).toEqual([])

    const twelve = Array.from({ length: 12 }, (_, i) => i)
    expect(await garden.getTemperatureNormals('home')).toBeNull()
    const normals = { minC: twelve, maxC: twelve.map((c) => c + 8), source: 'an almanac' }
    await garden.putTemperatureNormals('home', normals)
    expect(await garden.getTemperatureNormals('home')).toEqual(normals)
    expect(await garden.deleteTemperatureNormals('home')).toBe(true)

    const forecast = {
      source: 'mine',
      attribution: null,
      issuedAtMs: 1,
      fetchedAtMs: 2,
      expiresAtMs: null,
      validator: null,
      points: [{ validAtMs: 3, airTempC: 4 }],
    }
    await garden.keepPublicForecast('home', forecast)
    await garden.keepPublicForecast('home', { ...forecast, issuedAtMs: 5 })
    await garden.keepPublicForecast('home', { ...forecast, source: 'other', issuedAtMs: 9 })
    expect((await garden.publicForecasts('home')).map((f) => f.issuedAtMs)).toEqual([9, 5])
  })

  it('keeps no forecast of a bed that has gone', async () => {
    const kept = { version: 1, basis: 'b', state: '{}' }
    await garden.keepBedForecast('home', 'south', kept)
    await garden.keepBedForecast('home', 'gone', kept)
    expect(await garden.bedForecast('home', 'south')).toEqual(kept)
    expect(await garden.bedForecast('home', 'gone')).toBeNull()
  })
})
