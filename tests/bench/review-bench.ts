/**
 * Five seasons of three beds: how long the page's main thread is busy at one go when it is used, against the 100 ms after which
 * a reader notices; and what the hub takes to look back. Chromium's long tasks (W3C Long Tasks: 50 ms and more).
 */
import { existsSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import pino from 'pino'
import { chromium, type Page } from 'playwright-core'
import { Config } from '../../hub/config.js'
import { type Hub, startHub } from '../../hub/main.js'
import { writeSeasons } from '../support/seasons.js'
import type { BenchRow } from './bench-row.js'

const CHROMIUM = process.env.HEARTING_CHROMIUM ?? '/usr/bin/chromium'
const ROOT = resolve(import.meta.dirname, '../..')
const YEARS = { from: 2023, to: 2027 }
const NOW_MS = Date.parse('2027-11-20T12:00:00Z')
const ALL = `from=${YEARS.from}-01-01&to=${YEARS.to}-11-20`
const LIMIT = 'what a reader notices'
/** What is done runs out in that time, ms. */
const AFTER_MS = 600

/** Runs in the page: notes its long tasks from now on. */
const WATCH = `(() => {
  globalThis.longestMs = 0
  new PerformanceObserver((list) => {
    for (const task of list.getEntries()) globalThis.longestMs = Math.max(globalThis.longestMs, task.duration)
  }).observe({ type: 'longtask' })
})()`

/** Longest task of an interaction, ms; below 50 the browser does not tell, and 50 is taken. */
async function longestOf(page: Page, act: () => Promise<void>): Promise<number> {
  await page.evaluate('globalThis.longestMs = 0')
  await act()
  await page.waitForTimeout(AFTER_MS)
  return Math.max(50, Number(await page.evaluate('globalThis.longestMs')))
}

async function firstLookMs(hub: Hub): Promise<number> {
  const startedAt = performance.now()
  for (;;) {
    const answer = await fetch(`${hub.httpUrl}/api/v1/gardens/home/review?${ALL}`)
    if (!answer.ok) throw new Error(`the review was refused: ${answer.status}`)
    const { review } = (await answer.json()) as { review: unknown }
    if (review !== null) return performance.now() - startedAt
  }
}

/** A sentence instead of rows says why it was not measured. */
export async function reviewBench(): Promise<BenchRow[] | string> {
  if (!existsSync(CHROMIUM)) return `review: not measured, there is no Chromium at ${CHROMIUM}`
  if (!existsSync(join(ROOT, 'dashboard/dist/index.html')))
    return 'review: not measured, it is not built (npm run build)'
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-bench-'))
  const readings = await writeSeasons({ dataDir, ...YEARS, everyMinutes: 5 })
  const hub = await startHub(Config.parse({ dataDir, httpPort: 0, mqttPort: 0 }), {
    log: pino({ level: 'silent' }),
    doors: 'open',
    now: () => NOW_MS,
  })
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: ['--no-sandbox', '--disable-gpu'] })
  try {
    const firstMs = await firstLookMs(hub)
    const againMs = await firstLookMs(hub)
    const page = await browser.newPage({ viewport: { width: 1200, height: 900 } })
    await page.addInitScript(WATCH)
    const rows: BenchRow[] = [
      { name: LIMIT, value: 100, unit: 'ms', ratioTo: null },
      { name: 'readings of five seasons', value: readings, unit: 'readings', ratioTo: null },
      { name: 'a look back over them, nothing kept', value: firstMs, unit: 'ms', ratioTo: null },
      {
        name: '… the same again',
        value: againMs,
        unit: 'ms',
        ratioTo: 'a look back over them, nothing kept',
      },
    ]
    const measure = async (name: string, act: () => Promise<void>): Promise<void> => {
      rows.push({ name, value: await longestOf(page, act), unit: 'ms', ratioTo: LIMIT })
    }
    await page.goto(`${hub.httpUrl}/`)
    await page.locator('.bed-row').first().waitFor()
    await measure('longest task: to Look back, one season', async () => {
      await page.getByRole('link', { name: 'Look back' }).click()
      await page.locator('.review-lead').waitFor()
    })
    await measure('longest task: five seasons, fifteen plantings drawn', async () => {
      await page.getByRole('link', { name: 'all of them' }).click()
      await page.locator('.planting-review').nth(14).waitFor({ timeout: 60_000 })
    })
    await measure('longest task: reading ten days by arrow keys', async () => {
      await page.locator('.timeline-frame').first().focus()
      for (let i = 0; i < 10; i++) await page.keyboard.press('ArrowLeft')
    })
    await measure('longest task: small multiples along degree days', () =>
      page.getByLabel('degree days', { exact: true }).check(),
    )
    await measure('longest task: years of a bed', () => page.getByLabel('years of a bed').check())
    await measure('longest task: a bed’s page', async () => {
      await page.goto(`${hub.httpUrl}/beds/south?span=90d`)
      await page.locator('.day-table').waitFor()
    })
    return rows
  } finally {
    await browser.close()
    await hub.close()
    await rm(dataDir, { recursive: true, force: true })
  }
}
