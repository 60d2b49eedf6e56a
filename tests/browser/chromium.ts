/** The browser of these tests: Debian's Chromium, or the one HEARTING_CHROMIUM names. */
import { existsSync } from 'node:fs'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe } from 'vitest'

const executablePath = process.env.HEARTING_CHROMIUM ?? '/usr/bin/chromium'

const ARGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--disable-dev-shm-usage',
]

export interface View {
  readonly width?: number
  readonly height?: number
  readonly scheme?: 'light' | 'dark'
  /** IANA zone the browser is in; by default far from every garden of these tests */
  readonly timeZone?: string
  readonly hasTouch?: boolean
  /** lets the page hire its service worker; elsewhere it would answer in place of the hub that a test breaks */
  readonly hasWorker?: boolean
}

export interface Visit {
  readonly page: Page
  /** what the page complained of on its console, and errors nothing caught */
  readonly complaints: readonly string[]
}

export interface Visitor {
  /** Opens an address in a browser that has never been here. */
  visit(url: string, view?: View): Promise<Visit>
}

async function visitWith(browser: Browser, url: string, view: View): Promise<Visit> {
  const {
    width = 1000,
    height = 900,
    scheme = 'light',
    timeZone = 'America/Los_Angeles',
    hasTouch = false,
    hasWorker = false,
  } = view
  const context: BrowserContext = await browser.newContext({
    viewport: { width, height },
    colorScheme: scheme,
    timezoneId: timeZone,
    locale: 'en-GB',
    hasTouch,
    reducedMotion: 'reduce',
    serviceWorkers: hasWorker ? 'allow' : 'block',
  })
  const page = await context.newPage()
  page.setDefaultTimeout(15_000)
  const complaints: string[] = []
  page.on('console', (message) => {
    if (message.type() !== 'error' && message.type() !== 'warning') return
    if (!hasWorker && message.text().includes('Service Worker registration blocked')) return
    complaints.push(message.text())
  })
  page.on('pageerror', (error) => complaints.push(String(error)))
  await page.goto(url)
  return { page, complaints }
}

/**
 * A group of tests that need a browser. Without one they are left out with a plain word, or fail where
 * HEARTING_REQUIRE_ALL says that nothing may be left out.
 */
export function describeInBrowser(name: string, tests: (visitor: Visitor) => void): void {
  if (!existsSync(executablePath)) {
    const note = `no Chromium at ${executablePath}: install the package chromium, or set HEARTING_CHROMIUM`
    if (process.env.HEARTING_REQUIRE_ALL === '1') throw new Error(note)
    console.warn(`browser tests left out: ${note}`)
    describe.skip(`${name} (${note})`, () => tests({ visit: () => Promise.reject(new Error(note)) }))
    return
  }
  describe(name, () => {
    let browser: Browser | null = null
    beforeAll(async () => {
      browser = await chromium.launch({ executablePath, args: ARGS })
    })
    // a test that failed has not closed its pages; their live lines would use up the browser's connections
    afterEach(async () => {
      await Promise.all(browser?.contexts().map((context) => context.close()) ?? [])
    })
    afterAll(() => browser?.close())
    tests({
      visit: (url, view = {}) => {
        if (browser === null) throw new Error('the browser has not started')
        return visitWith(browser, url, view)
      },
    })
  })
}
