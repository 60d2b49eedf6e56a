/** What is painted on a chart besides uPlot's lines: night, words on the lines, marks of doubtful readings. */
import type uPlot from 'uplot'
import { EXCLUDING_FLAGS } from '../../../shared/quality-flags.js'
import type { Marked } from './chart-columns.js'
import type { Palette } from './palette.js'

export interface Night {
  readonly fromS: number
  readonly toS: number
}

export const CHART_FONT = '"Source Serif 4 Variable", Georgia, serif'

/** Nights as a wash behind everything. */
export function paintNights(u: uPlot, nights: readonly Night[], palette: Palette): void {
  const { ctx, bbox } = u
  ctx.save()
  ctx.beginPath()
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height)
  ctx.clip()
  ctx.fillStyle = palette['night-wash']
  for (const night of nights) {
    const left = u.valToPos(night.fromS, 'x', true)
    const right = u.valToPos(night.toS, 'x', true)
    if (right > bbox.left && left < bbox.left + bbox.width)
      ctx.fillRect(left, bbox.top, right - left, bbox.height)
  }
  ctx.restore()
}

interface LineWord {
  readonly label: string
  readonly colour: string
  /** index of the line's mean column in the chart's data */
  readonly column: number
}

/** Each line's word near its right end: the upper line's above it, the lower one's below. */
export function paintWords(u: uPlot, words: readonly LineWord[], palette: Palette): void {
  const ends = words.flatMap((word) => {
    const end = lastInView(u, word.column)
    return end === null ? [] : [{ ...word, ...end }]
  })
  ends.sort((a, b) => a.y - b.y)
  const { ctx, bbox } = u
  const px = devicePixelRatio
  ctx.save()
  ctx.font = `italic ${13 * px}px ${CHART_FONT}`
  ctx.textAlign = 'right'
  ctx.lineJoin = 'round'
  ctx.lineWidth = 4 * px
  ctx.strokeStyle = palette.paper
  ends.forEach((end, i) => {
    const isUpper = i === 0
    const x = Math.min(end.x, bbox.left + bbox.width) - 4 * px
    const y = isUpper ? Math.max(bbox.top + 12 * px, end.y - 9 * px) : end.y + 18 * px
    ctx.textBaseline = 'alphabetic'
    ctx.strokeText(end.label, x, y)
    ctx.fillStyle = end.colour
    ctx.fillText(end.label, x, y)
  })
  ctx.restore()
}

function lastInView(u: uPlot, column: number): { x: number; y: number } | null {
  const times = u.data[0]
  const values = u.data[column]
  const { x } = u.scales
  const { min, max } = x ?? {}
  if (times === undefined || values === undefined || min === undefined || max === undefined) return null
  for (let i = times.length - 1; i >= 0; i--) {
    const t = times[i]
    const v = values[i]
    if (t === undefined || t > max) continue
    if (t < min) return null
    if (v !== null && v !== undefined) return { x: u.valToPos(t, 'x', true), y: u.valToPos(v, 'y', true) }
  }
  return null
}

/**
 * Doubtful readings as crosses, those at the ceiling as carets. A value off the chart (−127 °C) is drawn at the edge
 * it went over: the axis belongs to the good readings.
 */
export function paintMarks(u: uPlot, marked: readonly Marked[], palette: Palette): void {
  const { ctx, bbox } = u
  const px = devicePixelRatio
  const arm = 3.5 * px
  ctx.save()
  ctx.strokeStyle = palette.mark
  ctx.lineWidth = 1.5 * px
  ctx.beginPath()
  for (const mark of marked) {
    const x = u.valToPos(mark.timeS, 'x', true)
    if (x < bbox.left - 1 || x > bbox.left + bbox.width + 1) continue
    const y = Math.min(
      bbox.top + bbox.height - arm,
      Math.max(bbox.top + arm, u.valToPos(mark.value, 'y', true)),
    )
    if ((mark.flags & EXCLUDING_FLAGS) !== 0) {
      ctx.moveTo(x - arm, y - arm)
      ctx.lineTo(x + arm, y + arm)
      ctx.moveTo(x + arm, y - arm)
      ctx.lineTo(x - arm, y + arm)
    } else {
      ctx.moveTo(x - 2 * px, y - 3 * px)
      ctx.lineTo(x, y - 5 * px)
      ctx.lineTo(x + 2 * px, y - 3 * px)
    }
  }
  ctx.stroke()
  ctx.restore()
}
