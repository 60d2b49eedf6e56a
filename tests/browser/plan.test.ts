/** Planning before a real hub: a crop's year read by keyboard, a bed chosen, and the planting made of it. */
import type { Page } from 'playwright-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { LEIPZIG } from '../core/plan/support/climates.js'
import { ask } from '../hub/hub-fixture.js'
import { objections } from './axe.js'
import { describeInBrowser } from './chromium.js'
import { filledHub, type GardenOnHub, tell } from './garden-fixture.js'

const normals = { minC: [...LEIPZIG.minC], maxC: [...LEIPZIG.maxC], source: 'a table of means' }

describeInBrowser('the plan', ({ visit }) => {
  let garden: GardenOnHub
  beforeEach(async () => {
    garden = await filledHub()
  })
  afterEach(() => garden.close())
  const address = (query = ''): string => `${garden.hub.httpUrl}/plan${query}`
  const readout = (page: Page): Promise<string | null> => page.locator('.plan-read .readout').textContent()

  test('says what to do while nothing is known of the weather', async () => {
    const { page, complaints } = await visit(address())
    await page.getByText('Nothing is known of the weather here yet.', { exact: false }).waitFor()
    await page.getByText('measured for 27 days: a plan of its own needs a year', { exact: false }).waitFor()
    expect(await objections(page)).toEqual([])
    expect(complaints).toEqual([])
  })

  test('chooses a crop, reads weeks by keyboard, and plants one: the bed’s page knows it', async () => {
    await tell(garden.hub, 'PUT', 'gardens/home/normals', normals)
    const { page, complaints } = await visit(address())
    await page.locator('.plan-frame svg').waitFor()
    await page.getByLabel('Crop', { exact: true }).selectOption('cabbage-storage')
    await page.getByText('Autumn crop:', { exact: false }).first().waitFor()
    await expect
      .poll(() => page.locator('.plan-windows').textContent())
      .toMatch(
        /Sow under cover .*, plant out .*; heads form from .* while the mean falls through 1\d\s°C; ready from/,
      )
    expect(await page.locator('.plan-words').textContent()).toMatch(
      /From usual temperatures by the month \(a table of means\)/,
    )
    expect(await page.getByText('first guesses', { exact: false }).count()).toBeGreaterThan(0)
    const before = await readout(page)
    await page.locator('.plan-frame').focus()
    await page.keyboard.press('Home')
    await expect
      .poll(() => readout(page))
      .toMatch(/^Sown under cover in the week of 22 Mar 2027: planted out /)
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('ArrowRight')
    await expect.poll(() => readout(page)).toMatch(/^Sown under cover in the week of 5 Apr 2027/)
    expect(before).not.toBe(await readout(page))

    await page.getByLabel('Bed', { exact: true }).selectOption('quince')
    await page.locator('.plan-ranked li.chosen').waitFor()
    await page.getByRole('link', { name: 'Plant it', exact: true }).click()
    const form = page.getByRole('form', { name: 'A new planting' })
    await form.waitFor()
    expect(await form.getByLabel('Crop', { exact: true }).inputValue()).toBe('cabbage-storage')
    expect(await form.getByLabel('Bed', { exact: true }).inputValue()).toBe('quince')
    expect(await form.getByLabel('Sown on').inputValue()).toBe('2027-04-05')
    const plantedOutOn = await form.getByLabel('Planted out on').inputValue()
    expect(plantedOutOn > '2027-04-30').toBe(true)
    await form.getByLabel('How many plants').fill('6')
    await form.getByRole('button', { name: 'Add the planting' }).click()
    await expect
      .poll(async () => (await ask(garden.hub, 'GET', 'gardens/home/plantings')).body)
      .toMatchObject([{ crop: 'cabbage-storage', bed: 'quince', sownOn: '2027-04-05', plantedOutOn }])
    await page.goto(`${garden.hub.httpUrl}/beds/quince`)
    await page.getByText('Cabbage, storage', { exact: false }).first().waitFor()
    expect(complaints).toEqual([])
  })

  test('remembers the crop, and the address holds crop and bed', async () => {
    await tell(garden.hub, 'PUT', 'gardens/home/normals', normals)
    const { page } = await visit(address('?crop=kale&bed=gate'))
    await page.locator('.plan-frame svg').waitFor()
    expect(await page.getByLabel('Crop', { exact: true }).inputValue()).toBe('kale')
    await page.getByLabel('Crop', { exact: true }).selectOption('spinach')
    await expect.poll(() => page.url()).toContain('/plan?crop=spinach&bed=gate')
    // leaves: sown in place unless asked otherwise
    await expect.poll(() => readout(page)).toMatch(/^Sown in place/)
    await page.getByLabel('raised under cover').check()
    await expect.poll(() => readout(page)).toMatch(/^Sown under cover/)
    await page.goto(address())
    await page.locator('.plan-frame svg').waitFor()
    expect(await page.getByLabel('Crop', { exact: true }).inputValue()).toBe('spinach')
  })

  test('takes a year’s file, says what is wrong with another, and plans by what is chosen', async () => {
    await tell(garden.hub, 'PUT', 'gardens/home/normals', normals)
    const { page } = await visit(address('?crop=cabbage-early'))
    await page.locator('.plan-frame svg').waitFor()
    await page.getByText('Give a year’s file').click()
    const file = page.getByLabel('A year of weather from a file')
    const csv = (days: number): Buffer =>
      Buffer.from(
        `date,tmin_c,tmax_c\n${Array.from({ length: days }, (_, i) => {
          const middleC = 9 - 9 * Math.cos((2 * Math.PI * (i - 15)) / 365)
          return `${new Date(Date.UTC(2025, 0, 1 + i)).toISOString().slice(0, 10)},${middleC - 4},${middleC + 5}`
        }).join('\n')}`,
      )
    await file.setInputFiles({ name: 'half.csv', mimeType: 'text/csv', buffer: csv(200) })
    await page.getByText('200 days from the first to the last whole one', { exact: false }).waitFor()
    await file.setInputFiles({ name: 'station-2025.csv', mimeType: 'text/csv', buffer: csv(365) })
    await page.getByText('The file is station-2025.csv.', { exact: false }).waitFor()
    await page.getByLabel('a chosen year’s file', { exact: true }).check()
    await expect
      .poll(() => page.locator('.plan-words').textContent())
      .toMatch(/one year of weather that you chose/)
    expect(page.url()).toContain('basis=chosen+year')
  })

  for (const [width, scheme] of [
    [360, 'light'],
    [360, 'dark'],
    [1600, 'light'],
    [1600, 'dark'],
  ] as const) {
    test(`is accessible and no wider than the screen at ${width} px, ${scheme}`, async () => {
      await tell(garden.hub, 'PUT', 'gardens/home/normals', normals)
      const { page, complaints } = await visit(address('?crop=cabbage-early'), { width, scheme })
      await page.locator('.plan-frame svg').waitFor()
      await page.locator('.plan-ranked').waitFor()
      await page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
      expect(await objections(page)).toEqual([])
      expect(complaints).toEqual([])
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width)
    })
  }
})

describeInBrowser('a crop of the grower’s own', ({ visit }) => {
  let garden: GardenOnHub
  beforeEach(async () => {
    garden = await filledHub()
  })
  afterEach(() => garden.close())

  test('is made from the one most like it, changed, planned, and kept while it is planted', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    await page.getByText('Add a crop', { exact: true }).click()
    const entry = page.getByRole('form', { name: 'A new crop' })
    await entry.getByLabel('Most like').selectOption('cabbage-early')
    await entry.getByRole('button', { name: 'Add the crop' }).click()
    await entry.getByText('give it a name').waitFor()
    await entry.getByLabel('Name').fill('Pointed Anna')
    await entry.getByLabel(/^Days until ready/).fill('4')
    await entry.getByRole('button', { name: 'Add the crop' }).click()
    await entry.getByText('between 10 and 400 days').waitFor()
    await entry.getByLabel(/^Days until ready/).fill('80')
    await entry.getByText('More of its numbers').click()
    await entry.getByLabel('heat hours count above', { exact: false }).fill('99')
    await entry.getByRole('button', { name: 'Add the crop' }).click()
    await entry.locator('[aria-invalid=true]').waitFor()
    await entry.getByLabel('heat hours count above', { exact: false }).fill('')
    await entry.getByRole('button', { name: 'Add the crop' }).click()
    await page.locator('summary', { hasText: 'Pointed Anna, made from' }).waitFor()
    const { body } = await ask(garden.hub, 'GET', 'gardens/home/crops/pointed-anna')
    // 819 °C·d in 65 packet days
    expect(body).toMatchObject({ by: 'own', basedOn: 'cabbage-early' })
    expect(body.adjustable).toContainEqual(
      expect.objectContaining({ field: 'degreeDaysToReady', ownValue: 1008 }),
    )

    await tell(garden.hub, 'POST', 'gardens/home/plantings', {
      bed: 'gate',
      crop: 'pointed-anna',
      sownOn: '2027-04-01',
      plants: 4,
      spacingM: 0.4,
    })
    await page.reload()
    await page.locator('summary', { hasText: 'Pointed Anna, made from' }).click()
    const change = page.getByRole('form', { name: 'Your crop Pointed Anna' })
    await change.getByRole('button', { name: 'Remove' }).click()
    await change.getByRole('button', { name: 'Yes, remove' }).click()
    await change.getByText('give those another one first', { exact: false }).waitFor()
    await page.goto(`${garden.hub.httpUrl}/plan`)
    await page.locator('#plan-crop option[value=pointed-anna]').waitFor({ state: 'attached' })
  })
})
