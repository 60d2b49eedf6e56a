/**
 * One skyline out of those of several months. The sun of one season never passes where that of another does, so each
 * month knows its own part of the sky; together they know what the year's sun can meet.
 */
import { SECTORS, type Skyline, sectorMiddles } from './skyline.js'

/** Bands that lie apart by no more than this tell of the same thing: a sector is wider than the sun's path through it. */
const APART_DEG = 2
/** A height counts as known when its band is no wider. As in skyline-learning.ts. */
const KNOWN_WITHIN_DEG = 10

/**
 * Joins skylines, sector by sector: the newest speaks first, older ones narrow what it leaves open. Where an older
 * one contradicts it (a tree felled, a shed built), the newer holds.
 *
 * @param newestFirst  at least one
 * @throws RangeError  without any
 */
export function yearSkyline(newestFirst: readonly Skyline[]): Skyline {
  const [newest] = newestFirst
  if (!newest) throw new RangeError('a year needs the skyline of at least one month')
  const elevationDeg = Float64Array.from(newest.elevationDeg)
  const atLeastDeg = Float64Array.from(newest.atLeastDeg)
  const lowDeg = Float64Array.from(newest.lowDeg)
  const highDeg = Float64Array.from(newest.highDeg)
  const uncertaintyDeg = Float64Array.from(newest.uncertaintyDeg)
  const isKnown = Uint8Array.from(newest.isKnown)
  for (let sector = 0; sector < SECTORS; sector++) {
    let narrowest = highDeg[sector]! - lowDeg[sector]!
    for (const older of newestFirst.slice(1)) {
      const low = Math.max(lowDeg[sector]!, older.lowDeg[sector]!)
      const high = Math.min(highDeg[sector]!, older.highDeg[sector]!)
      if (low > high + APART_DEG) continue
      lowDeg[sector] = Math.min(low, high)
      highDeg[sector] = Math.max(low, high)
      const width = older.highDeg[sector]! - older.lowDeg[sector]!
      if (width < narrowest) {
        narrowest = width
        elevationDeg[sector] = older.elevationDeg[sector]!
        atLeastDeg[sector] = older.atLeastDeg[sector]!
        uncertaintyDeg[sector] = older.uncertaintyDeg[sector]!
      }
      if (older.isKnown[sector] === 1) isKnown[sector] = 1
    }
    elevationDeg[sector] = within(elevationDeg[sector]!, lowDeg[sector]!, highDeg[sector]!)
    atLeastDeg[sector] = within(atLeastDeg[sector]!, lowDeg[sector]!, highDeg[sector]!)
    // two months that each leave a wide band may leave a narrow one together
    if (isSeen(newestFirst, sector) && highDeg[sector]! - lowDeg[sector]! <= KNOWN_WITHIN_DEG)
      isKnown[sector] = 1
  }
  return { azimuthDeg: sectorMiddles(), elevationDeg, atLeastDeg, lowDeg, highDeg, uncertaintyDeg, isKnown }
}

const within = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value))

/** An unseen sector has the whole band, 0 to 90°. */
const isSeen = (skylines: readonly Skyline[], sector: number): boolean =>
  skylines.some((s) => s.highDeg[sector]! - s.lowDeg[sector]! < 90)
