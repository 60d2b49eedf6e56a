/**
 * The way of somebody new, by clicks alone: owner, place, bed, node; a real season sent by that node; a cabbage in it; what the
 * almanac then says of stages, tasks, heat; the journal; the season on paper; the data in a file. The season is the spring
 * of 2008 near Winters, California, hour by hour (air temperature only), up to an afternoon in June.
 */
import { execFile } from 'node:child_process'
import { createReadStream } from 'node:fs'
import { readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { promisify } from 'node:util'
import { createGunzip } from 'node:zlib'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Hub } from '../../hub/main.js'
import { newDataDir, startOn } from '../hub/hub-fixture.js'
import { hasReferenceData, referencePath, skipNote } from '../support/reference-data.js'
import { describeInBrowser } from './chromium.js'

const run = promisify(execFile)
const ROOT = join(import.meta.dirname, '../..')
const SEASON = 'winters-hourly/winters-2008.tidy.csv.gz'
const LAST_READING = '2008-06-21T23:00:00Z'
/** twenty minutes later, by the hub's clock; 16:20 in the garden */
const NOW_MS = Date.parse(LAST_READING) + 20 * 60_000
const PASSPHRASE = 'nine snails on a cold frame'

/** The file up to the moment at which the hub's clock stands: a node sends nothing of days to come. */
async function seasonSoFar(path: string): Promise<number> {
  const lines: string[] = []
  let rows = 0
  for await (const line of createInterface({
    input: createReadStream(referencePath(SEASON)).pipe(createGunzip()),
  })) {
    const isRow = /^\d{4}-/.test(line)
    if (isRow && line.slice(0, 20) > LAST_READING) continue
    if (isRow) rows++
    lines.push(line)
  }
  await writeFile(path, `${lines.join('\n')}\n`)
  return rows
}

describeInBrowser(`a new user${skipNote}`, ({ visit }) => {
  let hub: Hub
  let code = ''
  let folder: Awaited<ReturnType<typeof newDataDir>>
  beforeAll(async () => {
    folder = await newDataDir()
    const startedMs = Date.now()
    hub = await startOn(folder.dataDir, {
      doors: 'closed',
      now: () => NOW_MS + (Date.now() - startedMs),
      onSetUpCode: (text) => {
        code = text
      },
    })
  })
  afterAll(async () => {
    await hub.close()
    await folder.remove()
  })

  const way = (page: Page, name: string): Promise<void> =>
    page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name, exact: true }).click()

  test.skipIf(!hasReferenceData)(
    'comes from an empty hub to a season looked back on, without a manual',
    { timeout: 400_000 },
    async () => {
      const { page, complaints } = await visit(hub.httpUrl, { timeZone: 'America/Los_Angeles' })
      page.setDefaultTimeout(60_000)

      // the door
      await page.getByLabel('Set-up code').fill(code)
      await page.getByLabel('Passphrase', { exact: true }).fill(PASSPHRASE)
      await page.getByLabel('The same once more').fill(PASSPHRASE)
      await page.getByRole('button', { name: 'Choose this passphrase' }).click()

      // the place
      await page.getByLabel('Name of the garden').fill('Walnut End')
      await page.getByLabel('A town near it').pressSequentially('vacaville')
      await page.getByLabel('Latitude').fill('38.53, -121.97')
      await page.getByText(/ km from /).waitFor()
      expect(await page.getByLabel('Time zone').inputValue()).toBe('America/Los_Angeles')
      await page.getByRole('button', { name: 'Begin the almanac' }).click()

      // a bed, and no crop yet
      await page.getByLabel('Name of the bed').fill('South bed')
      await page.getByLabel('Length, m').fill('2.4')
      await page.getByLabel('Width, m').fill('1.2')
      await page.getByRole('button', { name: 'Add the bed and go on' }).click()
      await page.getByRole('form', { name: 'A new planting' }).waitFor()
      await page.getByRole('link', { name: 'Later: go on without' }).click()

      // a node that has stood there since the spring
      await page.getByLabel('Name of the node').fill('Wren')
      await page.getByLabel('Since').fill('2008-03-01T00:00')
      await page.getByRole('button', { name: 'Make it known' }).click()
      const settings = page.getByRole('region', { name: 'Type this into the node' })
      const password =
        (await settings
          .getByRole('row', { name: /^password/ })
          .locator('code')
          .textContent()) ?? ''
      const topic = await settings
        .getByRole('row', { name: /^topic/ })
        .locator('code')
        .textContent()
      expect(topic).toBe('gardens/home/nodes/wren/readings')

      // its season, by the command line, with the password that the page told
      const path = join(folder.dataDir, 'season.csv')
      const rows = await seasonSoFar(path)
      expect(rows).toBeGreaterThan(2_500)
      const replay = [
        'hub/cli/main.ts',
        'replay',
        path,
        '--node',
        'wren',
        '--port',
        String(hub.mqttPort),
        '--json',
      ]
      const { stdout } = await run(process.execPath, ['--import', 'tsx', ...replay, '--http', hub.httpUrl], {
        cwd: ROOT,
        env: { ...process.env, HEARTING_NODE_PASSWORD: password },
        timeout: 180_000,
      })
      // a replay that was refused, or stopped, would have failed above by its exit code
      expect(stdout).toContain('wren')
      await page.getByRole('heading', { name: 'The first reading has arrived' }).waitFor()

      // a cabbage in it
      await page.getByRole('link', { name: 'A crop', exact: true }).click()
      const planting = page.getByRole('form', { name: 'A new planting' })
      await planting.getByLabel('Crop').selectOption({ label: 'Cabbage, early' })
      await planting.getByLabel('Planted out on').fill('2008-04-05')
      await planting.getByLabel('How many plants').fill('9')
      await planting.getByRole('button', { name: 'Add the planting' }).click()
      await page.getByRole('heading', { name: 'A node', exact: true }).waitFor()

      // today: the bed, its cabbage, and a warning of the heat
      await way(page, 'Today')
      const row = page.locator('[data-bed=south-bed]')
      await row.getByText('South bed').first().waitFor()
      await page.locator('.warning').first().waitFor()
      expect(await page.locator('.warnings').textContent()).toMatch(/warm|heat|hot/i)
      await row.getByRole('link', { name: /^Cabbage, early/ }).click()

      // its stages
      await page.getByText('Its stages in figures').click()
      await page
        .getByRole('cell', { name: /Apr 2008|May 2008/ })
        .first()
        .waitFor()

      // what there is to do, and one of it done
      await way(page, 'To do')
      await page.locator('.task').first().waitFor()
      expect(await page.locator('.to-do').textContent()).toMatch(/cabbage/i)

      // the journal
      await way(page, 'Journal')
      await page.getByRole('button', { name: 'Watered', exact: true }).first().click()
      await page.locator('.journal-entry b').getByText('Watered').waitFor()

      // the season, on the page and on paper
      await way(page, 'Look back')
      await page
        .locator('.review-page-body')
        .getByText(/Cabbage, early/)
        .first()
        .waitFor()
      // the browser prints one thing at a time: asked by the button, and then onto a sheet to be looked at
      await page.evaluate('window.print = () => { window.asked = true }')
      await page.getByRole('button', { name: 'Print', exact: true }).click()
      await page.waitForFunction('window.asked === true')
      const paper = await page.pdf({ format: 'A4' })
      expect(paper.subarray(0, 5).toString()).toBe('%PDF-')
      expect(paper.length).toBeGreaterThan(20_000)

      // the data
      await way(page, 'Garden')
      const downloading = page.waitForEvent('download')
      await page.getByRole('link', { name: 'All readings', exact: true }).click()
      const readings = await readFile(await (await downloading).path(), 'utf8')
      expect(readings.match(/^home,wren,air-temp,/gm)?.length).toBeGreaterThan(2_500)
      expect(complaints).toEqual([])
    },
  )
})
