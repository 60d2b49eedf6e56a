/**
 * How long a page's main thread works at one go while something is done, from Chromium's trace: processor time of its longest
 * task. Unlike the clock's time it does not grow with whatever else the machine is doing.
 */
import type { Browser, Page } from 'playwright-core'
import { z } from 'zod'

const CATEGORIES = ['toplevel', '__metadata']
/** What is done runs out in that time, ms. */
const AFTER_MS = 800

const TraceEvent = z.object({
  name: z.string(),
  ph: z.string(),
  pid: z.number(),
  tid: z.number(),
  /** processor time of the thread, µs */
  tdur: z.number().optional(),
  args: z.object({ name: z.unknown().optional() }).optional(),
})
const Trace = z.object({ traceEvents: z.array(TraceEvent) })

/** ms; 0 where the page had nothing to do */
export async function longestTaskMs(
  browser: Browser,
  page: Page,
  act: () => Promise<unknown>,
): Promise<number> {
  await browser.startTracing(page, { categories: CATEGORIES })
  let traced: Buffer
  try {
    await act()
    await page.waitForTimeout(AFTER_MS)
  } finally {
    traced = await browser.stopTracing()
  }
  const { traceEvents } = Trace.parse(JSON.parse(traced.toString()))
  const thread = ({ pid, tid }: { pid: number; tid: number }): string => `${pid}/${tid}`
  const main = new Set(
    traceEvents
      .filter(({ name, args }) => name === 'thread_name' && args?.name === 'CrRendererMain')
      .map(thread),
  )
  const tasks = traceEvents.filter((one) => one.ph === 'X' && main.has(thread(one)))
  if (tasks.length === 0) throw new Error('the trace names no task of the page’s main thread')
  return Math.max(...tasks.map(({ tdur }) => tdur ?? 0)) / 1000
}
