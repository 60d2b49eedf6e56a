/** Looking back before a real hub: words, one time axis a planting, side by side, on paper, and as a file of its own. */
import { execFileSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { ask } from '../hub/hub-fixture.js'
import { describeInBrowser } from './chromium.js'
import { filledHub, type GardenOnHub, tell } from './garden-fixture.js'
import { layoutShift, partsOnPaper } from './in-page.js'

const PDFTOTEXT = '/usr/bin/pdftotext'

/** Pages of a PDF, as text. */
function pagesOf(pdf: string): string[] {
  return execFileSync(PDFTOTEXT, ['-layout', pdf, '-'], { encoding: 'utf8' }).split('\f').slice(0, -1)
}

describeInBrowser('looking back', ({ visit }) => {
  let garden: GardenOnHub
  let folder = ''
  const ids: string[] = []
  const address = (more = ''): string => `${garden.hub.httpUrl}/review${more}`

  /** The page once all of it is there. */
  const lookBack = async (more = '', view: Parameters<typeof visit>[1] = {}): Promise<Page> => {
    const { page, complaints } = await visit(address(more), view)
    await page.locator('.timeline-frame svg').first().waitFor({ timeout: 60_000 })
    expect(complaints).toEqual([])
    return page
  }

  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'hearting-review-'))
    garden = await filledHub()
    // radishes-in-March are no cabbages: what matters here is that journal and days meet on one axis
    for (const [i, weightKg] of [2.4, 1.5, 0.6].entries()) {
      const planted = await ask(garden.hub, 'POST', 'gardens/home/plantings', {
        bed: i === 2 ? 'gate' : 'quince',
        crop: 'cabbage-early',
        variety: i === 0 ? 'Lantern' : null,
        sownOn: '2027-01-20',
        plantedOutOn: '2027-03-20',
        plants: 3,
        spacingM: 0.5 - 0.06 * i,
        isTightOnPurpose: true,
      })
      const { id } = z.object({ id: z.string() }).parse(planted.body)
      ids.push(id)
      await tell(garden.hub, 'POST', 'gardens/home/journal', {
        kind: 'fed',
        on: '2027-03-22',
        planting: id,
        what: 'nettle tea',
      })
      await tell(garden.hub, 'POST', 'gardens/home/journal', {
        kind: 'cut',
        on: '2027-03-27',
        planting: id,
        plants: 2,
        weightKg,
      })
    }
  })
  afterAll(async () => {
    await garden?.close()
    await rm(folder, { recursive: true, force: true })
  })

  test('says first what the season gave, then what went along with the weights', async () => {
    const page = await lookBack()
    expect(await page.locator('.review-lead').textContent()).toMatch(
      /Three plantings stood in two beds\..*6 heads were cut, 4\.50\s*kg in all: 750\s*g each of the 6 weighed and counted/,
    )
    const heads = page.locator('.heads-compared')
    expect(await heads.locator('.say').textContent()).toBe(
      'One thing went along with the weight of the heads: spacing.',
    )
    expect(await heads.textContent()).toContain('3 plantings are few')
    expect(await heads.locator('tbody tr').allTextContents()).toEqual([
      expect.stringMatching(/Lantern.*1\.20\s*kg/),
      expect.stringMatching(/Under the quince.*750\s*g/),
      expect.stringMatching(/By the gate.*300\s*g/),
    ])
  })

  test('reads a day of a planting by arrow keys: sun, warmth, and what the journal says', async () => {
    const page = await lookBack(`?planting=${ids[0]}`)
    await page.locator('.timeline-frame').focus()
    for (let i = 0; i < 2; i++) await page.keyboard.press('ArrowLeft')
    await expect
      .poll(() => page.locator('.timeline .readout').textContent())
      .toMatch(/^Sat 27 Mar: .* of sun of .* possible; .*\s°C; .* so far\.\sCut 2 plants, 2\.40/)
    expect(await page.locator('.planting-review').count()).toBe(1)
  })

  test('numbers the journal on the axis as in the list', async () => {
    const page = await lookBack(`?planting=${ids[0]}`)
    const list = await page.locator('.past-list.numbered li').allTextContents()
    expect(list.at(-1)).toMatch(/27 Mar: Cut 2 plants/)
    const numbers = await page.locator('.timeline-frame svg text.ink').allTextContents()
    expect(numbers).toContain(String(list.length))
  })

  test('compares plantings, beds and years, along the calendar and along degree days', async () => {
    const page = await lookBack('', { width: 1200 })
    await expect.poll(() => page.locator('.small-plot').count()).toBe(3)
    await page.getByLabel('degree days', { exact: true }).check()
    await expect.poll(() => page.locator('.small-plot svg').first().textContent()).toMatch(/°C·d/)
    await page.getByLabel('beds', { exact: true }).check()
    await expect
      .poll(() => page.locator('.small-plot figcaption').allTextContents())
      .toEqual(['Under the quince'])
    await page.getByLabel('years of a bed').check()
    await expect.poll(() => page.locator('.small-plot figcaption').allTextContents()).toEqual(['2027'])
  })

  test('keeps what is typed, and says at once what is wrong with the dates', async () => {
    const page = await lookBack()
    await page.getByText('Other dates').click()
    await page.getByLabel('from', { exact: true }).fill('2027-05-01')
    await page.getByLabel('to', { exact: true }).fill('2027-04-01')
    await page.getByRole('button', { name: 'Look back' }).click()
    await page.getByText('The last day lies before the first.').waitFor()
    expect(await page.getByLabel('from', { exact: true }).inputValue()).toBe('2027-05-01')
  })

  test('says what to do next where nothing grew', async () => {
    const { page } = await visit(address('?from=2020-01-01&to=2020-12-31'))
    await page.getByText('There is no planting to look back on in this time.').waitFor()
    expect(await page.getByRole('link', { name: 'write down what is planted' }).isVisible()).toBe(true)
  })

  test('does not move while it loads', async () => {
    for (const width of [360, 1200]) {
      const page = await lookBack('', { width })
      expect(await layoutShift(page)).toBeLessThan(0.001)
    }
  })

  for (const format of ['A4', 'Letter'] as const) {
    test(`prints on ${format}: a page a planting, nothing cut off, no controls`, async ({ skip }) => {
      if (!existsSync(PDFTOTEXT)) {
        if (process.env.HEARTING_REQUIRE_ALL === '1')
          throw new Error('pdftotext is missing: install poppler-utils')
        skip('pdftotext is missing: install poppler-utils')
      }
      const page = await lookBack('', { scheme: 'dark', width: 1200 })
      const file = join(folder, `${format}.pdf`)
      await page.pdf({ path: file, format })
      const pages = pagesOf(file)
      expect(pages[0]).toContain('Quince Court')
      expect(pages[0]).toMatch(/Look back: 1 Jan to 28 Mar 2027/)
      const all = pages.join('\n')
      for (const word of ['Print', 'Save as a file', 'Other dates', 'Point at the picture']) {
        expect(all).not.toMatch(new RegExp(`^\\s*${word}`, 'm'))
      }
      // each planting begins a page of its own, with garden and time at its top
      const begun = pages.filter((text) => /^\s*Quince Court · 1 Jan to 28 Mar 2027/.test(text))
      expect(begun).toHaveLength(ids.length)
      for (const text of begun) {
        // the whole picture is on that page: its first lane, its last, and the stages' table after it
        expect(text).toMatch(/sun, h a day/)
        expect(text).toMatch(/\bcut\b/)
        expect(text).toMatch(/Stages by degree days/)
      }
      // the widest table's last column is there: nothing ran over the edge
      expect(all).toMatch(/room\s[\s\S]*begun\s+fed\b/)
      expect(all).toMatch(/1\s*\/\s*\d/)
    })
  }

  test('has every planting on paper, however early it is printed', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/nodes`)
    const onPaper = partsOnPaper(page, '.planting-review')
    await page.getByRole('link', { name: 'Look back' }).first().click()
    expect(await onPaper).toEqual([1, ids.length])
  })

  test('saves a file that needs nothing else, and opens from the disk', async () => {
    const page = await lookBack()
    const waiting = page.waitForEvent('download')
    await page.getByRole('button', { name: 'Save as a file' }).click()
    const download = await waiting
    expect(download.suggestedFilename()).toBe('2027-01-01-to-2027-03-28-look-back.html')
    const file = join(folder, 'saved.html')
    await writeFile(file, await readFile(await download.path()))
    const html = await readFile(file, 'utf8')
    expect(html).not.toMatch(/<script|<link|\bsrc=|\bhref=|@import|url\(["']?(?!#)|<button|<input/i)
    const opened = await visit(`file://${file}`)
    const asked: string[] = []
    opened.page.on('request', (request) => asked.push(request.url()))
    await opened.page.reload()
    expect(asked).toEqual([`file://${file}`])
    expect(opened.complaints).toEqual([])
    expect(await opened.page.locator('.timeline-frame svg').count()).toBe(ids.length)
    expect(await opened.page.locator('.review-lead').textContent()).toContain('6 heads were cut')
    const picture = await opened.page.locator('.lane-sun').first().boundingBox()
    expect(picture?.width).toBeGreaterThan(20)
  })
})
