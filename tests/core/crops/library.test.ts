import { describe, expect, test } from 'vitest'
import type { Crop, Sourced } from '../../../hub/core/crops/crop.js'
import { CROPS, findCrop } from '../../../hub/core/crops/library.js'
import { Id } from '../../../shared/ids.js'

const crops = [...CROPS.values()]

test('the library holds the crops it promises', () => {
  expect([...CROPS.keys()].sort()).toEqual(
    [
      'broccoli',
      'brussels-sprouts',
      'cabbage-early',
      'cabbage-giant',
      'cabbage-mid',
      'cabbage-savoy',
      'cabbage-storage',
      'cauliflower',
      'celery',
      'chinese-cabbage',
      'coriander',
      'kale',
      'kohlrabi',
      'lettuce-head',
      'lettuce-leaf',
      'pea',
      'radish',
      'spinach',
    ].sort(),
  )
  expect(findCrop('kale')?.name).toBe('Kale')
  expect(findCrop('kudzu')).toBeUndefined()
})

/** Every sourced number or text in a crop, with the path to it. */
function sourcedIn(thing: unknown, path: string): [string, Sourced<unknown>][] {
  if (typeof thing !== 'object' || thing === null) return []
  if ('value' in thing && 'source' in thing && 'note' in thing) {
    return [
      [path, { value: thing.value, source: thing.source as Sourced['source'], note: String(thing.note) }],
    ]
  }
  return Object.entries(thing).flatMap(([key, part]) => sourcedIn(part, `${path}.${key}`))
}

describe.each(crops.map((crop): [string, Crop] => [crop.id, crop]))('%s', (id, crop) => {
  test('has an id for the wire and a name for the page', () => {
    expect(Id.safeParse(id).success).toBe(true)
    expect(crop.name.length).toBeGreaterThan(2)
  })

  test('says of every number where it comes from', () => {
    const all = sourcedIn(crop, id)
    expect(all.length).toBeGreaterThan(20)
    for (const [path, { value, source, note }] of all) {
      expect(['published', 'common practice', 'memory', 'derived'], path).toContain(source)
      expect(note.length, path).toBeGreaterThan(2)
      if (typeof value === 'number') expect(Number.isFinite(value), path).toBe(true)
      else expect(String(value).length, path).toBeGreaterThan(10)
    }
  })

  test('has temperatures in the order of nature', () => {
    expect(crop.baseC.value).toBeLessThan(crop.upperC.value)
    expect(crop.minMeanC.value).toBeLessThan(crop.bestMeanC.from.value)
    expect(crop.bestMeanC.from.value).toBeLessThan(crop.bestMeanC.to.value)
    expect(crop.bestMeanC.to.value).toBeLessThan(crop.maxMeanC.value)
    expect(crop.frost.killC.value).toBeLessThan(crop.frost.damageC.value)
    expect(crop.frost.killC.value).toBeLessThan(crop.frost.youngC.value)
    expect(crop.germination.minSoilC.value).toBeLessThan(crop.germination.maxSoilC.value)
    if (crop.heat) {
      expect(crop.heat.aboveC.value).toBeGreaterThan(crop.bestMeanC.to.value)
      expect(crop.heat.watchHours.value).toBeLessThan(crop.heat.likelyHours.value)
    }
    const cold = crop.coldBolting
    if (cold) {
      expect(cold.noneBelowC.value).toBeLessThan(cold.fullFromC.value)
      expect(cold.fullFromC.value).toBeLessThan(cold.fullToC.value)
      expect(cold.fullToC.value).toBeLessThan(cold.noneAboveC.value)
      expect(cold.watchDays.value).toBeLessThan(cold.likelyDays.value)
      expect(cold.juvenileLeaves === null).toBe(cold.feltBy === 'seed')
    }
    if (crop.heatBolting) {
      expect(crop.heatBolting.watchDays.value).toBeLessThan(crop.heatBolting.likelyDays.value)
    }
  })

  test('reaches its stages in order', () => {
    const { toEmerged, toHeading, toReady, toFinished } = crop.degreeDays
    const marks = [toEmerged.value, ...(toHeading ? [toHeading.value] : []), toReady.value, toFinished.value]
    expect(marks).toEqual([...marks].sort((a, b) => a - b))
    expect(new Set(marks).size).toBe(marks.length)
    expect(toHeading === null).toBe(crop.forms === 'leaves')
  })

  test('leaves a plant the room its head needs', () => {
    expect(crop.spacing.betweenPlantsM.value).toBeGreaterThan(0.04)
    expect(crop.spacing.betweenPlantsM.value).toBeLessThan(1)
    expect(crop.spacing.containerLitres.value).toBeGreaterThan(0)
  })
})
