/** The Bed page before a real hub: what its charts draw, how they move, what their cursor reads. */
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { describeInBrowser } from './chromium.js'
import { airTempC, filledHub, GAP, type GardenOnHub, publish } from './garden-fixture.js'
import { inkAlong } from './in-page.js'

const TEMPERATURES = 'Air and soil temperature'

const panel = (page: Page, title = TEMPERATURES) =>
  page.locator('.chart-panel', { has: page.getByRole('heading', { name: title }) })

const shownRange = async (page: Page): Promise<string> =>
  (await page.locator('[data-shown]').textContent()) ?? ''

const readout = async (page: Page, title = TEMPERATURES): Promise<string> =>
  ((await panel(page, title).locator('[data-readout]').textContent()) ?? '').replaceAll('\u00a0', ' ')

/** The chart has its data once it can say between which values it runs. */
async function isDrawn(page: Page): Promise<void> {
  await page.locator('.chart-host[aria-label*="between"]').first().waitFor()
}

const ink = (page: Page, variable: string, slots: number, title = TEMPERATURES): Promise<number[]> =>
  inkAlong(panel(page, title).locator('canvas'), variable, slots)

describeInBrowser('the Bed page', ({ visit }) => {
  let garden: GardenOnHub
  beforeAll(async () => {
    garden = await filledHub()
  })
  afterAll(() => garden.close())

  const at = (query: string): string => `${garden.hub.httpUrl}/beds/quince?${query}`
  const between = (fromMs: number, toMs: number): string => at(`from=${fromMs / 1000}&to=${toMs / 1000}`)

  test('draws its lines', async () => {
    const { page } = await visit(at('span=1d'))
    await isDrawn(page)
    await expect.poll(() => ink(page, '--line-air', 8)).not.toContain(0)
    await expect.poll(() => ink(page, '--line-light', 8, 'Light')).not.toContain(0)
  })

  test('leaves a gap where nothing was sent', async () => {
    const { page } = await visit(between(GAP.fromMs - 3_600_000, GAP.toMs + 3_600_000))
    await isDrawn(page)
    // five hours in ten slots: an hour of line, three of nothing, an hour of line
    await expect
      .poll(async () => (await ink(page, '--line-air', 10)).map((n) => n > 0))
      .toEqual([true, true, false, false, false, false, false, false, true, true])
  })

  test('shades the night', async () => {
    const { page } = await visit(at('span=1d'))
    await isDrawn(page)
    const nights = () => ink(page, '--night-wash', 24)
    // 14:10 to 14:10: the first hours are day, the middle is night
    await expect.poll(async () => ((await nights())[10] ?? 0) > 500).toBe(true)
    expect((await nights())[1]).toBe(0)
  })

  test('marks a doubtful reading and keeps the axis to the good ones', async () => {
    const { page } = await visit(at('span=1h'))
    await isDrawn(page)
    await panel(page).getByText('× marks a doubtful reading').waitFor()
    // 13:30 of 13:10 to 14:10: in the fourth of ten parts, and nowhere else
    await expect
      .poll(async () => (await ink(page, '--mark', 10)).map((n) => n > 0))
      .toEqual([false, false, false, true, false, false, false, false, false, false])
    await panel(page).locator('summary').click()
    const odd = panel(page).getByRole('row', { name: /85\.0/ })
    expect(await odd.textContent()).toContain('Sun 28 Mar 13:30')
    expect(await odd.textContent()).toContain('no reading')
  })

  test('zooms and moves by keyboard', async () => {
    const { page } = await visit(at('span=1d'))
    await isDrawn(page)
    const chart = panel(page).locator('.chart-focus')
    await chart.focus()
    const before = await shownRange(page)
    await page.keyboard.press('+')
    await page.keyboard.press('+')
    await expect.poll(() => shownRange(page)).not.toBe(before)
    const zoomed = await shownRange(page)
    await page.keyboard.press('ArrowLeft')
    await expect.poll(() => shownRange(page)).not.toBe(zoomed)
    const moved = await shownRange(page)
    expect(moved).not.toContain('now')
    await page.keyboard.press('-')
    await expect.poll(() => shownRange(page)).not.toBe(moved)
  })

  test('moves by dragging and zooms by the wheel once it was clicked', async () => {
    const { page } = await visit(at('span=1d'))
    await isDrawn(page)
    const plot = panel(page).locator('.u-over')
    const box = await plot.boundingBox()
    if (box === null) throw new Error('the plot is not on the page')
    const y = box.y + box.height / 2
    await page.mouse.move(box.x + 200, y)
    await page.mouse.down()
    await page.mouse.move(box.x + 500, y, { steps: 8 })
    await page.mouse.up()
    await expect.poll(() => shownRange(page)).not.toContain('now')
    const dragged = await shownRange(page)
    await page.mouse.wheel(0, -300)
    await expect.poll(() => shownRange(page)).not.toBe(dragged)
  })

  test('lets the wheel scroll the page over a chart nobody touched', async () => {
    const { page } = await visit(at('span=1d'))
    await isDrawn(page)
    const before = await shownRange(page)
    await panel(page).locator('.u-over').hover()
    await page.mouse.wheel(0, 300)
    await expect.poll(() => page.evaluate('scrollY')).toBeGreaterThan(0)
    expect(await shownRange(page)).toBe(before)
  })

  test('zooms by a pinch', async () => {
    const { page } = await visit(at('span=1d'), { width: 360, height: 800, hasTouch: true })
    await isDrawn(page)
    await panel(page).locator('.u-over').scrollIntoViewIfNeeded()
    const box = await panel(page).locator('.u-over').boundingBox()
    if (box === null) throw new Error('the plot is not on the page')
    const before = await shownRange(page)
    const touch = await page.context().newCDPSession(page)
    const y = box.y + 80
    const fingers = (apart: number) =>
      [-apart, apart].map((dx, id) => ({ x: box.x + box.width / 2 + dx, y, id }))
    await touch.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: fingers(30) })
    for (const apart of [45, 60, 80, 100])
      await touch.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: fingers(apart) })
    await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] })
    await expect.poll(() => shownRange(page)).not.toBe(before)
  })

  for (const timeZone of ['America/Los_Angeles', 'Asia/Kolkata', 'Pacific/Auckland']) {
    test(`reads values in the garden’s zone with the browser in ${timeZone}`, async () => {
      // an hour before the clocks went forward, and an hour after
      for (const [endIso, wall] of [
        ['2027-03-28T00:30:00Z', '1:30'],
        ['2027-03-28T02:30:00Z', '4:30'],
      ] as const) {
        const endMs = Date.parse(endIso)
        const { page } = await visit(between(endMs - 3_600_000, endMs), { timeZone })
        await isDrawn(page)
        await panel(page).locator('.chart-focus').focus()
        await page.keyboard.press('Shift+ArrowLeft')
        await expect
          .poll(() => readout(page))
          .toContain(`Sun 28 Mar ${wall} · air ${airTempC(endMs).toFixed(1)} °C`)
      }
    })
  }

  test('grows with live readings while it follows the present', async () => {
    const { page } = await visit(at('span=1h'))
    await isDrawn(page)
    await publish(garden.client, 'wren', garden.now(), { 'air-temp': 16.7 })
    await expect.poll(() => readout(page)).toContain('air 16.7 °C')
  })

  test('remembers its range in the address', async () => {
    const { page } = await visit(at('span=1d'))
    await isDrawn(page)
    await page.getByRole('button', { name: 'week' }).click()
    await expect.poll(() => page.url()).toContain('span=7d')
    await page.reload()
    await isDrawn(page)
    expect(await page.getByRole('button', { name: 'week' }).getAttribute('aria-pressed')).toBe('true')
  })

  test('shows any dates asked for, and says what is wrong with impossible ones', async () => {
    const { page } = await visit(at('span=1d'))
    await page.getByText('Other dates').click()
    await page.locator('.dates input').first().fill('2027-03-26')
    await page.locator('.dates input').last().fill('2027-03-25')
    await page.getByRole('button', { name: 'Show', exact: true }).click()
    await page.getByText('The last day lies before the first.').waitFor()
    await page.locator('.dates input').last().fill('2027-03-26')
    await page.getByRole('button', { name: 'Show', exact: true }).click()
    await expect.poll(() => shownRange(page)).toBe('Fri 26 Mar, 0:00 to Sat 27 Mar, 0:00')
  })

  test('carries bars of whole days with the six hours ruled over a season', async () => {
    const { page } = await visit(at('span=90d'))
    await page.getByRole('heading', { name: 'Sun hours, day by day' }).waitFor()
    await page.getByRole('button', { name: /Show all 9\d days/ }).waitFor()
  })

  test('says that a bed without a node has no readings', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/beds/gate?span=1d`)
    await page.getByText('No readings of light in this stretch of time.').waitFor()
  })

  test('says when figures cannot be had, and fetches them when asked again', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    await page.route('**/series?*', (route) => route.abort())
    await page.goto(at('span=1d'))
    await page.getByRole('alert').getByText('The hub does not answer.').waitFor()
    await page.unroute('**/series?*')
    await page.getByRole('button', { name: 'Try again' }).click()
    await isDrawn(page)
    await expect.poll(() => page.getByRole('alert').count()).toBe(0)
  })

  test('says so when there is no such bed', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/beds/nowhere`)
    await page.getByRole('heading', { name: 'No such bed' }).waitFor()
  })

  test('keeps its reading cursor over the gap honest', async () => {
    const middleMs = (GAP.fromMs + GAP.toMs) / 2
    const { page } = await visit(between(middleMs - 7_200_000, middleMs + 7_200_000))
    await isDrawn(page)
    const box = await panel(page).locator('.u-over').boundingBox()
    if (box === null) throw new Error('the plot is not on the page')
    await page.mouse.move(box.x + box.width / 2, box.y + 60)
    await expect.poll(() => readout(page)).toContain('no reading')
  })
})
