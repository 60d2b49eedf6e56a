/**
 * Five seasons of three beds: how long the page's main thread works at one go when it is used, against the 100 ms after which
 * a reader notices; and what the hub takes to look back.
 */
import { existsSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import pino from 'pino'
import { chromium } from 'playwright-core'
import { z } from 'zod'
import { Config } from '../../hub/config.js'
import { type Hub, startHub } from '../../hub/main.js'
import { writeSeasons } from '../support/seasons.js'
import type { BenchRow } from './bench-row.js'
import { longestTaskMs } from './page-work.js'

const CHROMIUM = process.env.HEARTING_CHROMIUM ?? '/usr/bin/chromium'
const ROOT = resolve(import.meta.dirname, '../..')
const YEARS = { from: 2023, to: 2027 }
const NOW_MS = Date.parse('2027-11-20T12:00:00Z')
const ALL = `from=${YEARS.from}-01-01&to=${YEARS.to}-11-20`
const LIMIT = 'what a reader notices'
/** Pages of the masthead in the order they are gone to, and what is there when they are drawn; Look back has one season first. */
const PAGES = [
  ['To do', '.to-do'],
  ['Journal', '.journal-entry'],
  ['Plan', '.plan-frame svg'],
  ['Garden', 'form[aria-label="The garden"]'],
  ['Today', '.bed-row'],
  ['Look back', '.comparisons'],
] as const

const Looked = z.object({ review: z.unknown() })

async function firstLookMs(hub: Hub): Promise<number> {
  const startedAt = performance.now()
  for (;;) {
    const answer = await fetch(`${hub.httpUrl}/api/v1/gardens/home/review?${ALL}`)
    if (!answer.ok) throw new Error(`the review was refused: ${answer.status}`)
    if (Looked.parse(await answer.json()).review !== null) return performance.now() - startedAt
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
    const measure = async (what: string, act: () => Promise<unknown>): Promise<void> => {
      const value = await longestTaskMs(browser, page, act)
      rows.push({ name: `longest task: ${what}`, value, unit: 'ms', ratioTo: LIMIT })
    }
    const to = (name: string): Promise<void> =>
      page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name, exact: true }).click()
    const shown = (selector: string): Promise<void> =>
      page.locator(selector).first().waitFor({ timeout: 60_000 })

    await page.goto(`${hub.httpUrl}/`)
    await shown('.bed-row')
    for (const [name, drawn] of PAGES) {
      await measure(`to ${name}`, async () => {
        await to(name)
        await shown(drawn)
      })
    }
    await measure('five seasons, fifteen plantings drawn', async () => {
      await page.getByRole('link', { name: 'all of them' }).click()
      await page.locator('.planting-review').nth(14).waitFor({ timeout: 60_000 })
      await shown('.comparisons')
    })
    await measure('reading ten days by arrow keys', async () => {
      await page.locator('.timeline-frame').first().focus()
      for (let i = 0; i < 10; i++) await page.keyboard.press('ArrowLeft')
    })
    await measure('small multiples along degree days', () =>
      page.getByLabel('degree days', { exact: true }).check(),
    )
    await measure('years of a bed', () => page.getByLabel('years of a bed').check())
    await to('Today')
    await measure('to a bed’s page', async () => {
      await page.locator('.bed-row h2 a').first().click()
      await shown('.day-table')
    })
    await page.goto(`${hub.httpUrl}/beds/south?span=90d`)
    await shown('.day-table')
    await measure('a bed’s year', async () => {
      await page.goto(`${hub.httpUrl}/beds/south/sun`)
      await shown('.outlook-frame svg')
    })
    return rows
  } finally {
    await browser.close()
    await hub.close()
    await rm(dataDir, { recursive: true, force: true })
  }
}
