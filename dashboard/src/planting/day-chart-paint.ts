/** What is painted on a chart of days besides its lines: washes, rules with their words, intervals, today. */
import type uPlot from 'uplot'
import { CHART_FONT } from '../bed/chart-paint.js'
import type { Palette } from '../bed/palette-names.js'
import type { Rule, Stretch, Wash } from './day-figures.js'

export function paintStretches(
  u: uPlot,
  washes: readonly Wash[],
  stretches: readonly Stretch[],
  palette: Palette,
): void {
  const { ctx, bbox } = u
  const px = devicePixelRatio
  ctx.save()
  ctx.beginPath()
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height)
  ctx.clip()
  for (const wash of washes) {
    ctx.fillStyle = `${palette[wash.ink]}${wash.alpha}`
    if (wash.kind === 'levels') {
      const top = u.valToPos(wash.to, 'y', true)
      ctx.fillRect(bbox.left, top, bbox.width, u.valToPos(wash.from, 'y', true) - top)
    } else {
      const left = u.valToPos(wash.fromS, 'x', true)
      ctx.fillRect(left, bbox.top, u.valToPos(wash.toS, 'x', true) - left, bbox.height)
    }
  }
  ctx.lineWidth = 5 * px
  for (const stretch of stretches) {
    const y = u.valToPos(stretch.value, 'y', true)
    ctx.strokeStyle = palette[stretch.ink]
    ctx.beginPath()
    ctx.moveTo(u.valToPos(stretch.fromS, 'x', true), y)
    ctx.lineTo(u.valToPos(stretch.toS, 'x', true), y)
    ctx.stroke()
  }
  ctx.restore()
}

function haloed(ctx: CanvasRenderingContext2D, palette: Palette): void {
  const px = devicePixelRatio
  ctx.font = `italic ${13 * px}px ${CHART_FONT}`
  ctx.lineJoin = 'round'
  ctx.lineWidth = 4 * px
  ctx.strokeStyle = palette.paper
  ctx.textBaseline = 'alphabetic'
}

/** Rules with their words at the left, above the line; a word that would meet the one before it is left to the table. */
export function paintRules(u: uPlot, rules: readonly Rule[], palette: Palette): void {
  const { ctx, bbox } = u
  const px = devicePixelRatio
  const left = bbox.left + 5 * px
  let lastY = Number.POSITIVE_INFINITY
  ctx.save()
  ctx.textAlign = 'left'
  for (const rule of [...rules].sort((a, b) => a.value - b.value)) {
    const y = Math.round(u.valToPos(rule.value, 'y', true))
    if (y < bbox.top || y > bbox.top + bbox.height) continue
    ctx.lineWidth = px
    ctx.strokeStyle = palette[rule.ink]
    ctx.setLineDash(rule.isDashed ? [5 * px, 4 * px] : [])
    ctx.beginPath()
    ctx.moveTo(bbox.left, y)
    ctx.lineTo(bbox.left + bbox.width, y)
    ctx.stroke()
    ctx.setLineDash([])
    if (rule.words === '' || lastY - y < 15 * px) continue
    lastY = y
    haloed(ctx, palette)
    ctx.strokeText(rule.words, left, y - 4 * px)
    ctx.fillStyle = palette.ink
    ctx.fillText(rule.words, left, y - 4 * px)
  }
  ctx.restore()
}

export function paintToday(u: uPlot, timeS: number, palette: Palette): void {
  const { ctx, bbox } = u
  const px = devicePixelRatio
  const x = u.valToPos(timeS, 'x', true)
  const isLate = x > bbox.left + bbox.width - 46 * px
  ctx.save()
  ctx.strokeStyle = palette.ink
  ctx.lineWidth = 1.5 * px
  ctx.beginPath()
  ctx.moveTo(x, bbox.top)
  ctx.lineTo(x, bbox.top + bbox.height)
  ctx.stroke()
  haloed(ctx, palette)
  ctx.textAlign = isLate ? 'right' : 'left'
  const at = x + (isLate ? -4 : 4) * px
  const y = bbox.top + bbox.height - 6 * px
  ctx.strokeText('today', at, y)
  ctx.fillStyle = palette.ink
  ctx.fillText('today', at, y)
  ctx.restore()
}
