/** What holds for every page: nothing axe-core objects to, nothing on the console, nothing wider than the screen, nothing that moves. */
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { z } from 'zod'
import { ask } from '../hub/hub-fixture.js'
import { objections } from './axe.js'
import { describeInBrowser, type Visitor } from './chromium.js'
import { emptyHub, filledHub, type GardenOnHub } from './garden-fixture.js'
import { layoutShift } from './in-page.js'

/** Where the focus is, and how that is shown. */
const Stop = z.object({ tag: z.string(), text: z.string(), outline: z.string() })
const STOP = `(() => {
  const e = document.activeElement
  return { tag: e.tagName, text: e.textContent || e.ariaLabel || e.name || '', outline: getComputedStyle(e).outlineStyle }
})()`

const PAGES = [
  { path: '/', ready: '[data-bed=quince] .ribbon svg' },
  { path: '/beds/quince?span=1d', ready: '.chart-host[aria-label*="between"]' },
  { path: '/beds/quince?span=90d', ready: '.day-table' },
  { path: '/beds/quince/sun', ready: '.outlook-frame svg' },
  { path: '/plantings/{kale}', ready: '.day-chart canvas' },
  { path: '/plan/space?bed=quince&crop=cabbage-early', ready: '.space-picture svg' },
  { path: '/plan', ready: '.plan-bases' },
  { path: '/to-do', ready: '.task' },
  { path: '/journal', ready: '.write-entry .touches' },
  { path: '/review', ready: '.timeline-frame svg' },
  { path: '/begin/bed', ready: 'form' },
  { path: '/begin/crop', ready: 'form' },
  { path: '/begin/node', ready: 'form' },
  { path: '/begin/reading?node=wren', ready: '.begin-ways' },
  { path: '/nodes', ready: '[data-node=wren] table' },
  { path: '/garden', ready: 'form[aria-label="The garden"]' },
] as const

describeInBrowser('every page', ({ visit }: Visitor) => {
  let garden: GardenOnHub
  let kale = ''
  const urlOf = (path: string): string => garden.hub.httpUrl + path.replace('{kale}', kale)
  beforeAll(async () => {
    garden = await filledHub()
    const planted = await ask(garden.hub, 'POST', 'gardens/home/plantings', {
      bed: 'quince',
      crop: 'kale',
      variety: null,
      sownOn: '2027-03-01',
      plantedOutOn: null,
      plants: 6,
      spacingM: 0.45,
      finishedOn: null,
    })
    kale = z.object({ id: z.string() }).parse(planted.body).id
    // what there is to warn of is there before a page is opened: news would come in above what is read
    await vi.waitFor(
      async () => {
        const { body } = await ask(garden.hub, 'GET', 'gardens/home/warnings')
        expect(body.length).toBeGreaterThan(0)
      },
      { timeout: 60_000, interval: 500 },
    )
    // a refused pack, so that its words are looked at too
    await garden.client.publishAsync('gardens/home/nodes/wren/readings', 'not SenML', { qos: 1 })
  })
  afterAll(() => garden.close())

  for (const { path, ready } of PAGES) {
    describe(path, () => {
      for (const width of [360, 1600]) {
        for (const scheme of ['light', 'dark'] as const) {
          test(`is accessible, quiet and no wider than the screen at ${width} px, ${scheme}`, async () => {
            const { page, complaints } = await visit(urlOf(path), {
              width,
              height: 900,
              scheme,
            })
            await page.locator(ready).first().waitFor()
            // one scheme tells: colours move nothing
            if (scheme === 'light') expect(await layoutShift(page)).toBeLessThan(0.02)
            // what is folded away must be in order too
            await page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
            expect(await objections(page)).toEqual([])
            expect(complaints).toEqual([])
            expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width)
          })
        }
      }

      test('can be walked through by keyboard, each stop marked', async () => {
        const { page } = await visit(urlOf(path))
        await page.locator(ready).first().waitFor()
        const stops = new Set<string>()
        for (let i = 0; i < 40; i++) {
          await page.keyboard.press('Tab')
          const stop = Stop.parse(await page.evaluate(STOP))
          // past the last stop the browser's own bar takes the focus
          if (stop.tag === 'BODY') break
          expect(stop.outline, stop.text).not.toBe('none')
          stops.add(`${stop.tag} ${stop.text}`)
        }
        expect(stops.size).toBeGreaterThan(5)
      })
    })
  }

  test('prints without its controls, on white', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/beds/quince?span=1d`, { scheme: 'dark' })
    await page.locator('.chart-host[aria-label*="between"]').first().waitFor()
    await page.emulateMedia({ media: 'print' })
    expect(await page.getByRole('button', { name: 'Zoom in' }).isVisible()).toBe(false)
    expect(await page.locator('.day-table table').isVisible()).toBe(true)
    expect(await page.evaluate('getComputedStyle(document.documentElement).backgroundColor')).toBe(
      'rgb(255, 255, 255)',
    )
  })

  test('hands the focus on when the page changes', async () => {
    const { page } = await visit(garden.hub.httpUrl)
    await page.getByRole('link', { name: 'Nodes' }).click()
    await page.locator('[data-node=wren]').waitFor()
    await expect.poll(() => page.evaluate('document.activeElement.id')).toBe('page')
    expect(await page.title()).toBe('Nodes · Quince Court')
  })
})

describeInBrowser('the first visit', ({ visit }) => {
  for (const width of [360, 1600]) {
    test(`is accessible and quiet at ${width} px`, async () => {
      const garden = await emptyHub()
      const { page, complaints } = await visit(garden.hub.httpUrl, { width, height: 900 })
      await page.getByRole('heading', { name: 'Welcome' }).waitFor()
      expect(await objections(page)).toEqual([])
      expect(complaints).toEqual([])
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width)
      await garden.close()
    })
  }
})
