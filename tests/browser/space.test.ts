/** Room for plants before a real hub: drawn to scale, in both units, and on to the planting form without losing anything. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { ask } from '../hub/hub-fixture.js'
import { objections } from './axe.js'
import { describeInBrowser } from './chromium.js'
import { filledHub, type GardenOnHub, tell } from './garden-fixture.js'
import { layoutShift } from './in-page.js'

const INCH_M = 0.0254
const FOUR_BY_FOUR = 'lengthM=1.2192&widthM=1.2192&spacingM=0.4064&crop=cabbage-early'

const Drawn = z.object({
  heads: z.array(z.object({ x: z.number(), y: z.number(), r: z.number() })),
  rooms: z.array(z.number()),
  barPx: z.number(),
  barM: z.number(),
  bed: z.object({ x: z.number(), y: z.number(), width: z.number(), height: z.number() }),
})

/** What is drawn, measured on the screen. */
const MEASURE = `(() => {
  const box = (e) => e.getBoundingClientRect()
  const circle = (e) => ({ x: box(e).x + box(e).width / 2, y: box(e).y + box(e).height / 2, r: box(e).width / 2 })
  const bar = document.querySelector('.space-bar')
  const bed = box(document.querySelector('.space-ground'))
  return {
    heads: [...document.querySelectorAll('.space-head, .space-stem')].map(circle),
    rooms: [...document.querySelectorAll('.space-room')].map((e) => circle(e).r),
    barPx: bar.getBBox().width,
    barM: Number(bar.dataset.barM),
    bed: { x: bed.x, y: bed.y, width: bed.width, height: bed.height },
  }
})()`
/** A busy machine takes its time. */
const poll = <T>(ask: () => T) => expect.poll(ask, { timeout: 15_000 })

const measured = async (page: Page) => Drawn.parse(await page.evaluate(MEASURE))

describeInBrowser('room for plants', ({ visit }) => {
  let garden: GardenOnHub
  beforeAll(async () => {
    garden = await filledHub()
    const south = { name: 'South bed', kind: 'raised', lengthM: 1.2, widthM: 1.2, depthM: 0.3 }
    await tell(garden.hub, 'PUT', 'gardens/home/beds/south', south)
    await tell(garden.hub, 'POST', 'gardens/home/plantings', {
      bed: 'south',
      crop: 'cabbage-early',
      plantedOutOn: '2027-03-20',
      plants: 8,
      spacingM: 0.4,
      finishedOn: '2027-06-20',
    })
  })
  afterAll(() => garden.close())
  const url = (query: string): string => `${garden.hub.httpUrl}/plan/space?${query}`

  for (const width of [360, 1600]) {
    test(`is drawn to scale at ${width} px: nine heads sixteen inches apart`, async () => {
      const { page } = await visit(url(FOUR_BY_FOUR), { width })
      await page.getByText('Nine heads at 40.6\u00a0cm, three by three.').waitFor()
      const { heads, rooms, barPx, barM, bed } = await measured(page)
      const pxPerM = barPx / barM
      expect(heads).toHaveLength(9)
      expect(bed.width / pxPerM).toBeCloseTo(1.2192, 1)
      expect(bed.width).toBeCloseTo(bed.height, 0)
      const nearest = heads.map((a) =>
        Math.min(...heads.filter((b) => b !== a).map((b) => Math.hypot(a.x - b.x, a.y - b.y))),
      )
      for (const px of nearest) expect(px / pxPerM / INCH_M).toBeCloseTo(16, 0)
      // half the spacing to each edge; circles of their room touch
      const left = Math.min(...heads.map(({ x }) => x)) - bed.x
      const top = Math.min(...heads.map(({ y }) => y)) - bed.y
      for (const px of [left, top]) expect(Math.abs(px / pxPerM / INCH_M - 8)).toBeLessThan(0.3)
      for (const px of rooms) expect(Math.abs(px / pxPerM / INCH_M - 8)).toBeLessThan(0.3)
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width)
    })
  }

  test('speaks feet and inches to whoever reads them, and keeps to the size', async () => {
    const { page } = await visit(url(FOUR_BY_FOUR))
    await page.getByText('Nine heads at 40.6\u00a0cm').first().waitFor()
    const before = await measured(page)
    await page.getByLabel('feet', { exact: true }).check()
    await page.getByText('Nine heads at 16\u00a0in, three by three.').waitFor()
    expect(await page.getByLabel('Length, ft').inputValue()).toBe('4')
    expect(await page.getByLabel('Plant to plant, in').inputValue()).toBe('16')
    await page.getByText('Rows 16\u00a0in apart, the first 8\u00a0in from the long side').waitFor()
    const after = await measured(page)
    expect(after.bed.width).toBeCloseTo(before.bed.width, 1)
    expect(after.barM).toBeCloseTo(0.3048, 4)
    // typed as a tape is read
    await page.getByLabel('Length, ft').fill('6\'6"')
    await page.getByText('12 heads at 16\u00a0in, three by four.').waitFor()
  })

  test('holds one plant in a round container sixteen inches wide', async () => {
    const { page } = await visit(url('shape=round&lengthM=0.4064&spacingM=0.4064&crop=cabbage-mid'))
    await page.getByText('One head at 40.6\u00a0cm, in the middle.').waitFor()
    const { heads, bed } = await measured(page)
    expect(heads).toHaveLength(1)
    expect(heads[0]!.x).toBeCloseTo(bed.x + bed.width / 2, 0)
    expect(heads[0]!.y).toBeCloseTo(bed.y + bed.height / 2, 0)
  })

  test('says plainly what is too tight, and what heads to expect with the source', async () => {
    const { page } = await visit(url('bed=quince&crop=cabbage-early&spacingM=0.2'))
    const tight = page.locator('.space-tight')
    await tight.waitFor()
    expect(await tight.textContent()).toMatch(/^Too tight: .*Stoffella/)
    expect(await page.locator('.space-answer').textContent()).toMatch(
      /Expect heads of .*kg, .* across\. \(worked out: .*Kołota/,
    )
    // a closer spacing is chosen from the table, by keyboard
    await page.getByRole('button', { name: '40\u00a0cm', exact: true }).press('Enter')
    await page.getByText('18 heads at 40\u00a0cm, three by six.').waitFor()
    expect(await page.getByLabel('Plant to plant, cm').inputValue()).toBe('40')
    expect(await page.locator('.space-tight').count()).toBe(0)
    await page.getByLabel('shifted rows').check()
    await page.getByRole('button', { name: 'Wider' }).click()
    await poll(() => page.getByLabel('Plant to plant, cm').inputValue()).toBe('41')
    await poll(() => page.evaluate('location.search')).toContain('spacingM=0.41')
  })

  test('objects at the field and keeps what was typed', async () => {
    const { page } = await visit(url('bed=quince&crop=cabbage-early'))
    await page.locator('.space-picture svg').waitFor()
    const spacing = page.getByLabel('Plant to plant, cm')
    await spacing.fill('wide')
    await page.getByText('write a length, e.g. 40').waitFor()
    expect(await spacing.getAttribute('aria-invalid')).toBe('true')
    await spacing.fill('1')
    await page.getByText(/makes more than 20000 plants/).waitFor()
    expect(await spacing.inputValue()).toBe('1')
    await spacing.fill('40')
    await page.getByText('18 heads at 40\u00a0cm').first().waitFor()
    expect(await page.locator('.problem').count()).toBe(0)
  })

  test('does not move about while it loads', async () => {
    const { page } = await visit(url('bed=quince&crop=cabbage-early'), { width: 360 })
    await page.locator('.space-picture svg').waitFor()
    expect(await layoutShift(page)).toBeLessThan(0.01)
  })

  test('prints the picture and its measures without the fields', async () => {
    const { page } = await visit(url(FOUR_BY_FOUR), { scheme: 'dark' })
    await page.locator('.space-picture svg').waitFor()
    await page.emulateMedia({ media: 'print' })
    expect(await page.locator('.space-form').isVisible()).toBe(false)
    expect(await page.locator('.space-picture svg').isVisible()).toBe(true)
    expect(await page.getByRole('heading', { name: 'Where each stands' }).isVisible()).toBe(true)
  })

  test('hands bed, crop, spacing and number on to the planting form, where nothing typed is lost', async () => {
    const { page } = await visit(url('bed=south&crop=cabbage-early&spacingM=0.4'))
    await page.getByText(/eight of Cabbage, early until 20 Jun 2027\. They leave room for one/).waitFor()
    await page.getByRole('link', { name: 'Plant the one that has room' }).click()
    const entry = page.getByRole('form', { name: 'A new planting', exact: true })
    await poll(() => entry.getByLabel('Crop').inputValue()).toBe('cabbage-early')
    expect(await entry.getByLabel('Bed', { exact: true }).inputValue()).toBe('south')
    expect(await entry.getByLabel('How many plants').inputValue()).toBe('1')
    expect(await entry.getByLabel('Plant to plant, cm').inputValue()).toBe('40')
    await entry
      .getByText('South bed holds nine at 40\u00a0cm; beside what stands there in those weeks one has room.')
      .waitFor()
    // the values are typing now: a reload keeps what was changed since
    await entry.getByLabel('How many plants').fill('3')
    await entry.getByLabel('Variety').fill('Lantern')
    await page.reload()
    expect(await entry.getByLabel('How many plants').inputValue()).toBe('3')

    await entry.getByRole('button', { name: 'Add the planting' }).click()
    await entry.getByText('8 of Cabbage, early stand there until 20 June 2027: room for 1').waitFor()
    await poll(() => page.evaluate('document.activeElement.name')).toBe('plants')
    expect(await entry.getByLabel('Variety').inputValue()).toBe('Lantern')
    expect(await objections(page)).toEqual([])
    await entry.getByLabel('Tight on purpose').check()
    await entry.getByRole('button', { name: 'Add the planting' }).click()
    await poll(
      async () => (await ask(garden.hub, 'GET', 'gardens/home/plantings?bed=south')).body,
    ).toHaveLength(2)
    const { body } = await ask(garden.hub, 'GET', 'gardens/home/plantings?bed=south')
    expect(body).toContainEqual(expect.objectContaining({ plants: 3, spacingM: 0.4, variety: 'Lantern' }))
  })

  test('refuses a spacing wider than the bed at its field, in the reader’s unit', async () => {
    const { page } = await visit(
      `${garden.hub.httpUrl}/garden?crop=kale&bed=south&spacingM=1.524&plants=2&plantedOutOn=2027-08-01`,
    )
    await page.evaluate("localStorage.setItem('hearting.length', 'ft')")
    await page.goto(
      `${garden.hub.httpUrl}/garden?crop=kale&bed=south&spacingM=1.524&plants=2&plantedOutOn=2027-08-01`,
    )
    const entry = page.getByRole('form', { name: 'A new planting', exact: true })
    await poll(() => entry.getByLabel('Plant to plant, in').inputValue()).toBe('60')
    await entry.getByRole('button', { name: 'Add the planting' }).click()
    await entry
      .getByText(
        /^wider than South bed, which is 3\u00a0ft 11¼\u00a0in wide: give 27¾\u00a0in or less, at which 2 fit$/,
      )
      .waitFor()
    expect(await entry.getByLabel('Plant to plant, in').getAttribute('aria-invalid')).toBe('true')
    // nobody is asked whether the impossible is meant
    expect(await entry.getByLabel('Tight on purpose').count()).toBe(0)
    await entry.getByLabel('Plant to plant, in').fill('18 in')
    await entry.getByRole('button', { name: 'Add the planting' }).click()
    await poll(
      async () => (await ask(garden.hub, 'GET', 'gardens/home/plantings?bed=south')).body,
    ).toContainEqual(expect.objectContaining({ crop: 'kale', spacingM: 0.4572 }))
  })
})
