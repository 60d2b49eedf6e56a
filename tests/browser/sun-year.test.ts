/** A bed's sun through the year before a real hub: carpet, sky, outlook, and another bed beside it. */
import type { Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { describeInBrowser } from './chromium.js'
import { filledHub, type GardenOnHub } from './garden-fixture.js'
import { inkAlong } from './in-page.js'

describeInBrowser('the sun through the year', ({ visit }) => {
  let garden: GardenOnHub
  beforeAll(async () => {
    garden = await filledHub()
  })
  afterAll(() => garden.close())

  const address = (): string => `${garden.hub.httpUrl}/beds/quince/sun`
  /** of the two carpets either may be there first */
  const sunCarpet = (page: Page): Locator =>
    page.locator('.carpet').filter({ has: page.getByRole('group', { name: /^Carpet of the sun on/ }) })

  test('weaves the season, with sun on its last days only', async () => {
    const { page } = await visit(address(), { width: 1000 })
    const canvas = sunCarpet(page).locator('.carpet-canvas')
    await canvas.waitFor()
    // 180 days, of which the node was there for the last three
    await expect
      .poll(async () => (await inkAlong(canvas, '--sun', 6, 0)).map((n) => n > 0))
      .toEqual([false, false, false, false, false, true])
    expect((await inkAlong(canvas, '--night', 6, 0)).every((n) => n > 0)).toBe(true)
  })

  test('reads a day by arrow keys', async () => {
    const { page } = await visit(address())
    const carpet = sunCarpet(page)
    await carpet.locator('.carpet-canvas').waitFor()
    await carpet.locator('.carpet-frame').focus()
    await page.keyboard.press('ArrowLeft')
    const readout = carpet.locator('.readout')
    await expect
      .poll(() => readout.textContent())
      .toMatch(/^Sun 28 Mar: .* of sun of .* possible; sunrise 6:5\d/)
    await page.keyboard.press('ArrowLeft')
    await expect.poll(() => readout.textContent()).toMatch(/^Sat 27 Mar: /)
  })

  test('weaves the same days by their warmth, with a key in numbers, read by arrow keys', async () => {
    const { page } = await visit(address(), { width: 1000 })
    const warmth = page.locator('.carpet', { hasText: 'by the limits of' })
    const canvas = warmth.locator('.carpet-canvas')
    await canvas.waitFor()
    // 4 to 14 °C by the fixture: cold, cool and mild hours in the last three of 180 days, and nothing before
    await expect
      .poll(async () => (await inkAlong(canvas, '--paper', 6, 0)).map((n) => n > 0))
      .toEqual([true, true, true, true, true, true])
    const key = warmth.getByRole('list', { name: 'Key to the temperatures' })
    await expect
      .poll(() => key.textContent())
      .toMatch(/frost, below 0 °C.*mild, 12 to 20 °C.*hot, 27 and more °C/)
    const frame = warmth.locator('.carpet-frame')
    await frame.focus()
    await page.keyboard.press('ArrowLeft')
    await expect
      .poll(() => warmth.locator('.readout').textContent())
      .toMatch(/^Sun 28 Mar, hours’ means: 4\.\d to 1[34]\.\d\s°C, mean .*\sh\scool/)
    await page.getByText('Its temperatures as a table').click()
    await warmth.getByRole('row', { name: /^28 Mar 2027/ }).waitFor()
  })

  test('draws the sun’s way on any date', async () => {
    const { page } = await visit(address())
    await page.locator('.sky svg').first().waitFor()
    await page.locator('input[type=date]').fill('2027-06-21')
    await expect
      .poll(() => page.locator('.sky > p').first().textContent())
      .toMatch(/On 21 Jun 2027 the sun is up from 4:2\d to 21:5\d/)
  })

  test('says which weeks reach six hours, and by what months', async () => {
    const { page } = await visit(address())
    await page.locator('.outlook-frame svg').waitFor()
    expect(await page.locator('.outlook > p').first().textContent()).toMatch(/^Six hours are possible/)
    await page.getByText('The outlook as a table').click()
    await page.getByRole('row', { name: /^June/ }).waitFor()
    await page.locator('.outlook-frame').focus()
    await page.keyboard.press('ArrowRight')
    await expect
      .poll(() => page.locator('.outlook .readout').textContent())
      .toMatch(/^29 Mar 2027: .* possible/)
  })

  test('takes a wall’s word for it, and takes the word back', async () => {
    const { page } = await visit(address())
    await page.locator('.sky svg').first().waitFor()
    await page.getByText('Tell it what stands around the bed').click()
    await page.getByLabel('Height above the bed, m').fill('3')
    await page.getByLabel('Distance, m').fill('1.5')
    await page.getByLabel('Nearest towards the').selectOption({ label: 'south' })
    await page.getByRole('button', { name: 'Add it' }).click()
    const wall = page.getByText('3 m high, 1.5 m away, towards the south')
    await wall.first().waitFor()
    await expect
      .poll(() => page.locator('.sky > p').first().textContent())
      .toMatch(/hidden from .* towards the/)
    await page.getByRole('button', { name: 'Remove', exact: false }).first().click()
    await page.getByRole('button', { name: 'Yes, remove' }).click()
    await expect.poll(() => wall.count()).toBe(0)
  })

  test('puts another bed beside it', async () => {
    const { page } = await visit(address(), { width: 1600 })
    await page.locator('.outlook-frame svg').waitFor()
    await page.getByLabel('beside it').selectOption({ label: 'By the gate' })
    await expect.poll(() => page.locator('.outlook-frame svg').count()).toBe(2)
    await page.getByRole('row', { name: /^By the gate/ }).waitFor()
  })
})
