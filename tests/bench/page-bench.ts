/**
 * The page: JavaScript to transfer before a bed's first chart, and time to that chart in Chromium, against a bare
 * page with nothing but uPlot that draws the same points from the same answer.
 */
import { existsSync } from 'node:fs'
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { gzipSync } from 'node:zlib'
import pino from 'pino'
import { type Browser, chromium, type Page } from 'playwright-core'
import { startDemo } from '../../hub/cli/demo/start-demo.js'
import { type BenchRow, median } from './bench-row.js'

const ROOT = resolve(import.meta.dirname, '../..')
const UPLOT = join(ROOT, 'node_modules/uplot/dist')
const CHROMIUM = process.env.HEARTING_CHROMIUM ?? '/usr/bin/chromium'
const RUNS = 7

/** A sentence instead of rows says why it was not measured. */
export async function pageBench(): Promise<BenchRow[] | string> {
  if (!existsSync(CHROMIUM)) return `page: not measured, there is no Chromium at ${CHROMIUM}`
  if (!existsSync(join(ROOT, 'dashboard/dist/index.html'))) {
    return 'page: not measured, it is not built (npm run build)'
  }
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-bench-'))
  const log = pino({ level: 'silent' })
  const demo = await startDemo({ httpPort: 0, mqttPort: 0, dataDir, log, say: () => {}, showBar: false })
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: ['--no-sandbox', '--disable-gpu'] })
  let bare: Server | null = null
  try {
    const bedUrl = `${demo.hub.httpUrl}/beds/${demo.scenario.beds[0]!.id}`
    const seen = await look(browser, bedUrl)
    bare = await barePage(seen.series)
    const bareUrl = `http://127.0.0.1:${(bare.address() as AddressInfo).port}/`
    const [bareMs, pageMs]: [number[], number[]] = [[], []]
    // turn by turn, so that a slow spell of the machine meets both alike; the first round warms up
    for (let run = 0; run <= RUNS; run++) {
      const times = [
        await firstChartMs(browser, bareUrl, BARE_DRAWN),
        await firstChartMs(browser, bedUrl, PAGE_DRAWN),
      ]
      if (run === 0) continue
      bareMs.push(times[0]!)
      pageMs.push(times[1]!)
    }
    const plain = 'uPlot alone'
    const plainChart = 'a bare page with uPlot, first chart'
    const uplotBytes = gzipSync(await readFile(join(UPLOT, 'uPlot.iife.min.js'))).length
    return [
      { name: plain, value: uplotBytes / 1024, unit: 'KiB gzip', ratioTo: null },
      {
        name: 'JavaScript that the Bed page loads',
        value: seen.scriptGzipBytes / 1024,
        unit: 'KiB gzip',
        ratioTo: plain,
      },
      { name: plainChart, value: median(bareMs), unit: 'ms', ratioTo: null },
      { name: 'the Bed page, first chart', value: median(pageMs), unit: 'ms', ratioTo: plainChart },
    ]
  } finally {
    await browser.close()
    bare?.close()
    await demo.close()
    await rm(dataDir, { recursive: true, force: true })
  }
}

/** Opens the page once and notes its scripts and the first answer with chart points. */
async function look(browser: Browser, url: string): Promise<{ scriptGzipBytes: number; series: string }> {
  const page = await browser.newPage()
  const scripts: Promise<Buffer>[] = []
  const series: Promise<string>[] = []
  page.on('response', (response) => {
    if (response.request().resourceType() === 'script') scripts.push(response.body())
    if (response.url().includes('/series?')) series.push(response.text())
  })
  await page.goto(url)
  await page.locator(PAGE_DRAWN).first().waitFor({ state: 'attached' })
  const bodies = await Promise.all(scripts)
  const answers = await Promise.all(series)
  await page.close()
  const longest = answers.sort((a, b) => b.length - a.length)[0]
  if (longest === undefined || bodies.length === 0) throw new Error('the page loaded no script or no series')
  return { scriptGzipBytes: bodies.reduce((sum, body) => sum + gzipSync(body).length, 0), series: longest }
}

/** There once a chart has been drawn: it says between which values it runs when it has its data. */
const PAGE_DRAWN = '.chart-host[aria-label*="between"] canvas'
const BARE_DRAWN = 'body[data-drawn=yes]'

/** From the start of navigation until the frame in which the chart is there; nothing cached. */
async function firstChartMs(browser: Browser, url: string, drawn: string): Promise<number> {
  const context = await browser.newContext({ viewport: { width: 1000, height: 900 } })
  const page: Page = await context.newPage()
  try {
    await page.goto(url, { waitUntil: 'commit' })
    await page.locator(drawn).first().waitFor({ state: 'attached' })
    return Number(await page.evaluate('performance.now()'))
  } finally {
    await context.close()
  }
}

function barePage(series: string): Promise<Server> {
  const html = `<!doctype html><link rel="stylesheet" href="/uPlot.min.css"><div id="chart"></div>
<script src="/uPlot.iife.min.js"></script>
<script>
fetch('/series').then((answer) => answer.json()).then((s) => {
  const lines = s.form === 'raw' ? [s.value] : [s.min, s.mean, s.max]
  new uPlot({
    width: 900, height: 260, series: [{}, ...lines.map(() => ({ stroke: 'black' }))],
    hooks: { draw: [() => { document.body.dataset.drawn = 'yes' }] },
  }, [s.time, ...lines], document.getElementById('chart'))
})
</script>`
  const files: Record<string, [type: string, body: () => Promise<Buffer | string>]> = {
    '/': ['text/html', async () => html],
    '/series': ['application/json', async () => series],
    '/uPlot.iife.min.js': ['text/javascript', () => readFile(join(UPLOT, 'uPlot.iife.min.js'))],
    '/uPlot.min.css': ['text/css', () => readFile(join(UPLOT, 'uPlot.min.css'))],
  }
  const server = createServer(async (request, reply) => {
    const file = files[request.url ?? '']
    if (!file) return reply.writeHead(404).end()
    reply.writeHead(200, { 'content-type': file[0] }).end(await file[1]())
  })
  return new Promise((done) => server.listen(0, '127.0.0.1', () => done(server)))
}
