/** The bed's sky unrolled: azimuth across, elevation upwards, in px. Pure. */
import type { BedSkyline, SunPath } from '../../../shared/api/sun.js'
import { acrossPanorama } from './compass.js'

export interface SkyFrame {
  readonly width: number
  readonly height: number
  readonly latitudeDeg: number
  /** top of the picture: no sun stands higher at the garden's latitude, and few fences */
  readonly topDeg: number
}

/** Highest the sun can stand, with some air above it; never less than what the skyline needs. */
export function topOf(latitudeDeg: number, skyline: BedSkyline | null): number {
  const noonDeg = Math.min(90, 90 - Math.abs(latitudeDeg) + 23.5)
  const highest = Math.max(0, ...(skyline?.elevationDeg ?? []))
  return Math.min(90, Math.max(30, Math.ceil((Math.max(noonDeg, highest) + 6) / 10) * 10))
}

export const xOf = (azimuthDeg: number, frame: SkyFrame): number =>
  acrossPanorama(azimuthDeg, frame.latitudeDeg) * frame.width

export const yOf = (elevationDeg: number, frame: SkyFrame): number =>
  frame.height - (Math.min(frame.topDeg, Math.max(0, elevationDeg)) / frame.topDeg) * frame.height

interface Sector {
  readonly left: number
  readonly right: number
  readonly index: number
}

/** Sectors from left to right; the one that the picture's edge cuts is put whole at the right. */
function sectors(skyline: BedSkyline, frame: SkyFrame): Sector[] {
  const count = skyline.azimuthDeg.length
  const half = 180 / count
  return skyline.azimuthDeg
    .map((azimuthDeg, index) => {
      const left = xOf(azimuthDeg - half, frame)
      return { left, right: left + frame.width / count, index }
    })
    .sort((a, b) => a.left - b.left)
}

/** Silhouettes of what stands around, as one path each: where its height is known, and where it is a guess. */
export function silhouettes(skyline: BedSkyline, frame: SkyFrame): { known: string; guessed: string } {
  let known = ''
  let guessed = ''
  for (const { left, right, index } of sectors(skyline, frame)) {
    const top = yOf(skyline.elevationDeg[index] ?? 0, frame).toFixed(1)
    // half a pixel of overlap: antialiased neighbours would show a hairline between them
    const piece = `M${left.toFixed(1)} ${frame.height}V${top}H${(right + 0.5).toFixed(1)}V${frame.height}Z`
    if (skyline.known[index] === true) known += piece
    else guessed += piece
  }
  return { known, guessed }
}

/** The band in which the height lies with nine chances in ten. */
export function doubtBand(skyline: BedSkyline, frame: SkyFrame): string {
  let path = ''
  for (const { left, right, index } of sectors(skyline, frame)) {
    const high = yOf(skyline.highDeg[index] ?? 0, frame).toFixed(1)
    const low = yOf(skyline.lowDeg[index] ?? 0, frame).toFixed(1)
    if (high !== low) path += `M${left.toFixed(1)} ${low}V${high}H${(right + 0.5).toFixed(1)}V${low}Z`
  }
  return path
}

/** The sun's way over the sky: where it shines on the bed, and where the skyline hides it. */
export function sunWay(path: SunPath, frame: SkyFrame): { shining: string; lost: string } {
  const hidden = path.lost.map((l) => [Date.parse(l.from) / 1000, Date.parse(l.to) / 1000] as const)
  let shining = ''
  let lost = ''
  for (let i = 1; i < path.time.length; i++) {
    const [a, b] = [at(path, i - 1, frame), at(path, i, frame)]
    if (a === null || b === null || Math.abs(b.x - a.x) > frame.width / 2) continue
    const middleS = ((path.time[i - 1] ?? 0) + (path.time[i] ?? 0)) / 2
    const piece = `M${a.x.toFixed(1)} ${a.y.toFixed(1)}L${b.x.toFixed(1)} ${b.y.toFixed(1)}`
    if (hidden.some(([from, to]) => middleS >= from && middleS <= to)) lost += piece
    else shining += piece
  }
  return { shining, lost }
}

/** Place of the sun at one entry of its path; null below the horizon. */
function at(path: SunPath, i: number, frame: SkyFrame): { x: number; y: number } | null {
  const azimuthDeg = path.azimuthDeg[i]
  const elevationDeg = path.elevationDeg[i]
  if (azimuthDeg === undefined || elevationDeg === undefined || elevationDeg < -0.8) return null
  return { x: xOf(azimuthDeg, frame), y: yOf(elevationDeg, frame) }
}

/** Part of the sun's way by day that lies over known skyline, 0 to 1. */
export function knownAlong(skyline: BedSkyline, path: SunPath): number {
  const count = skyline.azimuthDeg.length
  const sectorsPassed = path.azimuthDeg
    .filter((_, i) => (path.elevationDeg[i] ?? -1) > 0)
    .map((azimuthDeg) => Math.floor(((((azimuthDeg % 360) + 360) % 360) / 360) * count) % count)
  if (sectorsPassed.length === 0) return 0
  return sectorsPassed.filter((sector) => skyline.known[sector] === true).length / sectorsPassed.length
}

export interface HourMark {
  readonly timeS: number
  readonly x: number
  readonly y: number
}

/** Where the sun stands at the garden's whole hours. @param isWholeHour by the garden's clock */
export function hourMarks(
  path: SunPath,
  frame: SkyFrame,
  isWholeHour: (timeS: number) => boolean,
): HourMark[] {
  return path.time.flatMap((timeS, i) => {
    const place = isWholeHour(timeS) ? at(path, i, frame) : null
    return place === null ? [] : [{ timeS, ...place }]
  })
}
