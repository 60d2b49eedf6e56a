/** Scripts of the folder pages/, which run inside the page and so are no part of the program type-checked here. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Locator, Page } from 'playwright-core'
import { z } from 'zod'

const script = (name: string): string =>
  readFileSync(join(import.meta.dirname, 'pages', name), 'utf8').replace(/^\s*\/\*\*[\s\S]*?\*\/\s*;?/, '')

/** Chart plots begin and end so far from the edges of their canvas, px (dashboard/src/bed/time-chart.ts). */
const CHART_MARGINS = { left: 46, right: 14 }

/**
 * Looks at what a chart has really drawn.
 *
 * @param variable CSS variable of a colour, e.g. '--line-air'
 * @param margin  px left out at either side; null: what a chart's axes take
 * @returns for each of `slots` equal parts of the plot, the number of pixels in that colour
 */
export async function inkAlong(
  canvas: Locator,
  variable: string,
  slots: number,
  margin: number | null = null,
): Promise<number[]> {
  const margins = margin === null ? CHART_MARGINS : { left: margin, right: margin }
  const handle = await canvas.elementHandle()
  if (handle === null) throw new Error('there is no such canvas')
  const run = await canvas.page().evaluateHandle(`(${script('ink-along.js')})`)
  const counts = await canvas
    .page()
    .evaluate(
      ([look, element, given]) => (look as unknown as (e: unknown, g: unknown) => unknown)(element, given),
      [run, handle, { variable, slots, ...margins }] as const,
    )
  return z.array(z.number()).parse(counts)
}

/** How much of the page has moved while it loaded; 0 for not at all. */
export async function layoutShift(page: Page): Promise<number> {
  return z.number().parse(await page.evaluate(`(${script('layout-shift.js')})()`))
}

/**
 * Says 'about to print' to the page the moment the first element of `selector` is there.
 *
 * @returns how many of them there were at that moment, and how many when the paper is drawn
 */
export async function partsOnPaper(page: Page, selector: string): Promise<number[]> {
  const counts = await page.evaluate(`(${script('printed-at-once.js')})(${JSON.stringify(selector)})`)
  return z.array(z.number()).parse(counts)
}
