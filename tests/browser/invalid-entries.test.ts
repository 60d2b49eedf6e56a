/** What cannot be: harvest before sowing, a negative weight, plants wider apart than the bed, two plantings on one spot. */
import type { Locator, Page } from 'playwright-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { ask } from '../hub/hub-fixture.js'
import { describeInBrowser } from './chromium.js'
import { emptyHub, type GardenOnHub, tell, ZONE } from './garden-fixture.js'

const GARDEN = { name: 'Damson Yard', latitudeDeg: 55.7, longitudeDeg: 12.5, timeZone: ZONE }
const KALE = {
  bed: 'long',
  crop: 'kale',
  variety: null,
  sownOn: '2027-03-01',
  plantedOutOn: null,
  finishedOn: null,
}

describeInBrowser('what cannot be', ({ visit }) => {
  let garden: GardenOnHub
  beforeEach(async () => {
    garden = await emptyHub()
    await tell(garden.hub, 'PUT', 'gardens/home', GARDEN)
    await tell(garden.hub, 'PUT', 'gardens/home/beds/long', {
      name: 'Long bed',
      kind: 'raised',
      lengthM: 2,
      widthM: 1,
    })
  })
  afterEach(() => garden.close())

  const plantings = async (): Promise<unknown[]> =>
    (await ask(garden.hub, 'GET', 'gardens/home/plantings')).body

  /** The field says what is wrong, in plain words, and holds what was typed. */
  async function expectSaid(field: Locator, words: RegExp, typed: string): Promise<void> {
    await expect.poll(() => field.getAttribute('aria-invalid')).toBe('true')
    const id = (await field.getAttribute('aria-describedby'))
      ?.split(' ')
      .find((one) => one.endsWith('-problem'))
    expect(id).toBeDefined()
    const said = await field.page().locator(`[id="${id}"]`).textContent()
    expect(said).toMatch(words)
    expect(said).not.toMatch(/invalid|expected|received|Error|\bat .*:\d+:\d+|undefined|null/)
    expect(await field.inputValue()).toBe(typed)
  }

  async function newPlanting(page: Page, values: Readonly<Record<string, string>>): Promise<Locator> {
    const form = page.getByRole('form', { name: 'A new planting' })
    await form.getByLabel('Crop').selectOption({ label: 'Kale' })
    for (const [label, value] of Object.entries(values)) await form.getByLabel(label).fill(value)
    await form.getByRole('button', { name: 'Add the planting' }).click()
    return form
  }

  test('planted out before it was sown, with the typing kept over a reload', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/begin/crop`)
    const form = await newPlanting(page, {
      'Sown on': '2027-03-10',
      'Planted out on': '2027-03-01',
      'How many plants': '3',
    })
    await expectSaid(form.getByLabel('Planted out on'), /not be before it was sown/, '2027-03-01')
    await page.reload()
    expect(await page.getByRole('form', { name: 'A new planting' }).getByLabel('Sown on').inputValue()).toBe(
      '2027-03-10',
    )
    expect(await plantings()).toEqual([])
  })

  test('fewer plants than none', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/begin/crop`)
    const form = await newPlanting(page, { 'Sown on': '2027-03-10', 'How many plants': '-3' })
    await expectSaid(form.getByLabel('How many plants'), /must be more than 0/, '-3')
    expect(await plantings()).toEqual([])
  })

  test('plants wider apart than the bed', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/begin/crop`)
    const form = await newPlanting(page, {
      'Sown on': '2027-03-10',
      'How many plants': '2',
      'Plant to plant': '320',
    })
    await expectSaid(form.getByLabel('Plant to plant'), /wide|bed|room/i, '320')
    expect(await plantings()).toEqual([])
  })

  test('two plantings on one spot', async () => {
    await tell(garden.hub, 'POST', 'gardens/home/plantings', { ...KALE, plants: 8, spacingM: 0.45 })
    const { page } = await visit(`${garden.hub.httpUrl}/begin/crop`)
    const form = await newPlanting(page, { 'Sown on': '2027-03-10', 'How many plants': '8' })
    await expectSaid(form.getByLabel('How many plants'), /room|taken|stands|Kale/i, '8')
    expect(await plantings()).toHaveLength(1)
  })

  test('finished, and cut, before it was sown', async () => {
    await tell(garden.hub, 'POST', 'gardens/home/plantings', { ...KALE, plants: 3, spacingM: 0.45 })
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    await page.locator('summary', { hasText: 'Kale' }).click()
    const form = page.getByRole('form', { name: 'Planting of Kale' })
    await form.getByLabel('Finished on').fill('2027-02-01')
    await form.getByRole('button', { name: 'Save the planting' }).click()
    await expectSaid(form.getByLabel('Finished on'), /not be before it was sown/, '2027-02-01')
  })

  test('a harvest of a negative weight, or of a day before the sowing', async () => {
    await tell(garden.hub, 'POST', 'gardens/home/plantings', { ...KALE, plants: 3, spacingM: 0.45 })
    const { page } = await visit(`${garden.hub.httpUrl}/journal`)
    await page.getByText('What was done and seen').waitFor()
    await page.getByLabel(/^On/).fill('2027-02-10')
    await page.getByText('All other entries').click()
    await page
      .getByRole('button', { name: /^(Cut|Picked|Harvested) …$/ })
      .first()
      .click()
    const weight = page.getByLabel('Weight of all, kg')
    await weight.fill('-2')
    await page.getByRole('button', { name: 'Write it down' }).click()
    await expect
      .poll(() => page.locator('form .problem').first().textContent())
      .toMatch(/weight|more than|number/i)
    expect(await weight.inputValue()).toBe('-2')
    await weight.fill('1.2')
    await page.getByRole('button', { name: 'Write it down' }).click()
    await expect
      .poll(() =>
        page
          .locator('.problem')
          .allTextContents()
          .then((all) => all.join(' ')),
      )
      .toMatch(/before it was sown|sown/i)
    expect((await ask(garden.hub, 'GET', 'gardens/home/journal')).body).toEqual([])
  })
})
