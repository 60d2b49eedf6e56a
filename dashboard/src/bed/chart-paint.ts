/** What is painted on a chart besides uPlot's lines: night, words on the lines, marks of doubtful readings. */
import type uPlot from 'uplot'
import { EXCLUDING_FLAGS } from '../../../shared/quality-flags.js'
import type { Marked } from './chart-columns.js'
import type { Palette } from './palette-names.js'

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

/**
 * Each line's word at its right end, clear of the line over the word's own width: above the upper line, below the
 * lower. A chart of one line needs no word: its title says it.
 */
export function paintWords(u: uPlot, words: readonly LineWord[], palette: Palette): void {
  if (words.length < 2) return
  const { ctx, bbox } = u
  const px = devicePixelRatio
  ctx.save()
  ctx.font = `italic ${13.5 * px}px ${CHART_FONT}`
  ctx.textAlign = 'right'
  ctx.textBaseline = 'alphabetic'
  ctx.lineJoin = 'round'
  ctx.lineWidth = 4 * px
  ctx.strokeStyle = palette.paper
  const right = bbox.left + bbox.width - 4 * px
  const ends = words.flatMap((word) => {
    const span = spanAtRight(u, word.column, right - ctx.measureText(word.label).width - 6 * px)
    return span === null ? [] : [{ ...word, ...span }]
  })
  ends.sort((a, b) => a.top + a.bottom - b.top - b.bottom)
  ends.forEach((end, i) => {
    const above = end.top - 7 * px
    const below = end.bottom + 15 * px
    const isAbove = i === 0 ? above > bbox.top + 11 * px : below > bbox.top + bbox.height - 2 * px
    const y = isAbove ? above : below
    ctx.strokeText(end.label, right, y)
    ctx.fillStyle = end.colour
    ctx.fillText(end.label, right, y)
  })
  ctx.restore()
}

/** Highest and lowest place of a line right of `fromX`, canvas px; null where it has nothing there. */
function spanAtRight(u: uPlot, column: number, fromX: number): { top: number; bottom: number } | null {
  const times = u.data[0]
  const values = u.data[column]
  const { x } = u.scales
  if (times === undefined || values === undefined || x?.max === undefined) return null
  const fromS = u.posToVal(fromX, 'x', true)
  let top = Number.POSITIVE_INFINITY
  let bottom = Number.NEGATIVE_INFINITY
  for (let i = times.length - 1; i >= 0; i--) {
    const t = times[i]
    const v = values[i]
    if (t === undefined || t > x.max) continue
    if (t < fromS && top < Number.POSITIVE_INFINITY) break
    if (v === null || v === undefined) continue
    // the line ends far left of its word: no word beside nothing
    if (t < fromS - (x.max - fromS) * 2) break
    const y = u.valToPos(v, 'y', true)
    top = Math.min(top, y)
    bottom = Math.max(bottom, y)
  }
  return top === Number.POSITIVE_INFINITY ? null : { top, bottom }
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
