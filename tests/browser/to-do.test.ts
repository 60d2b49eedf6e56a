/** The to-do list on the page: one tap writes the journal, each answer can be taken back, a calendar can follow. */
import type { Page } from 'playwright-core'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { ask } from '../hub/hub-fixture.js'
import { describeInBrowser } from './chromium.js'
import { filledHub, type GardenOnHub } from './garden-fixture.js'

const Entries = z.array(z.object({ kind: z.string(), on: z.string(), firmness: z.string().nullable() }))
const TODAY = '2027-03-28'

describeInBrowser('the to-do list', ({ visit }) => {
  let garden: GardenOnHub
  let kale = ''
  beforeEach(async () => {
    garden = await filledHub()
    kale = await plant({ crop: 'kale', sownOn: '2027-01-20', plantedOutOn: '2027-03-12' })
  })
  afterEach(() => garden.close())

  async function plant(change: object): Promise<string> {
    const { status, body } = await ask(garden.hub, 'POST', 'gardens/home/plantings', {
      bed: 'quince',
      variety: null,
      plants: 6,
      spacingM: 0.45,
      finishedOn: null,
      ...change,
    })
    if (status !== 201) throw new Error(JSON.stringify(body))
    return z.object({ id: z.string() }).parse(body).id
  }
  const journal = async () => Entries.parse((await ask(garden.hub, 'GET', 'gardens/home/journal')).body)
  async function open(width = 1280): Promise<Page> {
    const { page } = await visit(`${garden.hub.httpUrl}/to-do`, { width, height: 900 })
    await page.locator('.task').first().waitFor()
    return page
  }
  const feed = (page: Page) => page.locator('[data-rule=feed]')

  test('one tap on Done writes the journal, and Undo takes it out again', async () => {
    const page = await open()
    await feed(page).locator('b', { hasText: 'Feed the kale' }).waitFor()
    await feed(page).getByText('no feed is in the journal since it was planted out (12 Mar)').waitFor()
    await feed(page).getByRole('button', { name: /^Done/ }).click()
    const answer = page.locator('[data-answer=done]')
    await answer.getByText('Feed the kale. It is in the journal, on Sun 28 Mar.').waitFor()
    expect(await journal()).toEqual([{ kind: 'fed', on: TODAY, firmness: null }])
    // the next one, two weeks on
    await page.getByRole('heading', { name: 'Later' }).waitFor()
    await feed(page).getByText('from Sun 11 Apr to Thu 15 Apr').waitFor()
    await answer.getByRole('button', { name: /^Undo/ }).click()
    await feed(page).getByRole('button', { name: /^Done/ }).waitFor()
    expect(await journal()).toEqual([])
  })

  test('Done without a connection is kept, not asked for again, and written once when the hub is back', async () => {
    const page = await open()
    await page.context().setOffline(true)
    await feed(page).getByRole('button', { name: /^Done/ }).click()
    const answer = page.locator('[data-answer=done]')
    await answer
      .getByText('The hub cannot be reached: it is kept here for the journal, on Sun 28 Mar.')
      .waitFor()
    // also after another page was looked at
    await page.getByRole('link', { name: 'Garden' }).first().click()
    await page.getByRole('heading', { name: 'Plantings' }).waitFor()
    await page.getByRole('link', { name: 'To do' }).first().click()
    await answer.getByText(/it is kept here/).waitFor()
    expect(await feed(page).getByRole('button', { name: /^Done/ }).count()).toBe(0)
    await page.context().setOffline(false)
    await answer.waitFor({ state: 'detached' })
    await feed(page).getByText('from Sun 11 Apr to Thu 15 Apr').waitFor()
    expect(await journal()).toEqual([{ kind: 'fed', on: TODAY, firmness: null }])
  })

  test('Done of which only the answer was lost is not written twice, and can be taken back', async () => {
    const page = await open()
    await page.route('**/done', async (route) => {
      await route.fetch()
      await route.abort()
    })
    await feed(page).getByRole('button', { name: /^Done/ }).click()
    const answer = page.locator('[data-answer=done]')
    await answer.getByText('It is in the journal, on Sun 28 Mar.').waitFor()
    expect(await journal()).toEqual([{ kind: 'fed', on: TODAY, firmness: null }])
    await answer.getByRole('button', { name: /^Undo/ }).click()
    await feed(page).getByRole('button', { name: /^Done/ }).waitFor()
    expect(await journal()).toEqual([])
  })

  test('Done that waits can be taken back before the hub has had it', async () => {
    const page = await open()
    await page.context().setOffline(true)
    await feed(page).getByRole('button', { name: /^Done/ }).click()
    const answer = page.locator('[data-answer=done]')
    await answer.getByText(/it is kept here/).waitFor()
    await answer.getByRole('button', { name: /^Undo/ }).click()
    await feed(page).getByRole('button', { name: /^Done/ }).waitFor()
    await page.context().setOffline(false)
    // what is said next goes out behind it
    await feed(page).getByRole('button', { name: /^Done/ }).click()
    await answer.getByText(/It is in the journal/).waitFor()
    expect(await journal()).toHaveLength(1)
  })

  test('Not yet puts it off for some days, or a week; Not this for good; both can be taken back', async () => {
    const page = await open(360)
    await feed(page)
      .getByRole('button', { name: /^Not yet/ })
      .click()
    const later = page.locator('[data-answer=later]')
    await later.getByText('to Wed 31 Mar: Feed the kale.').waitFor()
    await later.getByRole('button', { name: 'A week instead' }).click()
    await later.getByText('to Sun 4 Apr').waitFor()
    await page.reload()
    await feed(page).getByText('put off to Sun 4 Apr').waitFor()
    await feed(page)
      .getByRole('button', { name: /^Not this/ })
      .click()
    await page.locator('[data-answer=never]').getByText('Not wanted:').waitFor()
    await page.reload()
    await page.getByText('One task that you did not want').click()
    await page.getByRole('button', { name: /^Want it after all/ }).click()
    await feed(page).getByRole('button', { name: /^Done/ }).waitFor()
    expect(await journal()).toEqual([])
  })

  test('asks how firm it felt where that is what counts, with one tap each', async () => {
    // planted long ago and warm since: by its degree days it has been ready for a while
    const lettuce = await plant({
      crop: 'lettuce-head',
      sownOn: null,
      plantedOutOn: '2026-09-01',
      spacingM: 0.3,
      plants: 4,
      bed: 'gate',
    })
    await ask(garden.hub, 'POST', 'gardens/home/journal', {
      kind: 'heads-started',
      on: '2027-03-01',
      planting: lettuce,
    })
    await ask(garden.hub, 'POST', 'gardens/home/journal', {
      kind: 'firmness',
      on: '2027-03-20',
      planting: lettuce,
      firmness: 'firm',
    })
    const page = await open()
    const cut = page.locator('[data-rule=cut]')
    await cut.getByText('It felt firm on 20 Mar.').waitFor()
    await cut.getByRole('button', { name: /^Cut, with figures …/ }).click()
    const form = page.getByRole('form', { name: 'What was cut' })
    await form.getByLabel('How many').fill('9')
    await form.getByLabel('Weight of all').fill('1,2')
    await form.getByRole('button', { name: 'Write it down' }).click()
    await form.getByText('the planting has 4 plants in all').waitFor()
    expect(await form.getByLabel('How many').getAttribute('aria-invalid')).toBe('true')
    await form.getByLabel('How many').fill('3')
    await form.getByRole('button', { name: 'Write it down' }).click()
    await page.locator('[data-answer=done]').waitFor()
    expect((await journal()).map(({ kind }) => kind)).toContain('cut')
    // one head is left
    await page.locator('[data-rule=cut]').locator('b', { hasText: 'what is left of it' }).waitFor()
  })

  test('lets what was planned for a day that is past be written down for that day', async () => {
    await plant({ crop: 'spinach', sownOn: '2027-03-24', plantedOutOn: null, bed: 'gate', spacingM: 0.1 })
    const page = await open()
    const sow = page.locator('[data-rule=sow]')
    await sow.getByRole('button', { name: 'Done today' }).waitFor()
    await sow.getByRole('button', { name: 'Done on Wed 24 Mar' }).click()
    await page.locator('[data-answer=done]').getByText('on Wed 24 Mar').waitFor()
    expect(await journal()).toEqual([{ kind: 'sown', on: '2027-03-24', firmness: null }])
  })

  test('says what went wrong, and leaves the task as it was', async () => {
    const page = await open()
    const detail = 'the disk is full'
    await page.route('**/done', (route) =>
      route.fulfill({ status: 507, json: { title: 'Insufficient Storage', detail, code: 'STORE_FULL' } }),
    )
    await feed(page).getByRole('button', { name: /^Done/ }).click()
    await feed(page).getByRole('alert').getByText('Not written: the disk is full').waitFor()
    await page.unroute('**/done')
    await feed(page).getByRole('button', { name: /^Done/ }).click()
    await page.locator('[data-answer=done]').waitFor()
    expect(await journal()).toHaveLength(1)
  })

  test('is told in a line on the Today page, which moves nothing when it comes', async () => {
    const { page } = await visit(garden.hub.httpUrl, { width: 360, height: 900 })
    const line = page.locator('.todo-line')
    await line.getByRole('link', { name: /thing.? to do/ }).waitFor()
    expect(await line.textContent()).toMatch(/to do: .*feed the kale/)
    const shift = await page.evaluate(`new Promise((resolve) => {
      new PerformanceObserver((list) => resolve(list.getEntries().reduce((sum, e) => sum + e.value, 0)))
        .observe({ type: 'layout-shift', buffered: true })
      setTimeout(() => resolve(0), 500)
    })`)
    expect(shift).toBeLessThan(0.02)
    await line.getByRole('link').click()
    await page.getByRole('heading', { name: 'To do' }).waitFor()
  })

  describe('in a calendar', () => {
    test('can be followed by an address that is made, shown once and taken back', async () => {
      const page = await open(360)
      await page.getByText('Follow this list in a calendar').click()
      await page.getByRole('button', { name: 'Make an address' }).click()
      await page.getByText('say for what or whom').waitFor()
      await page.getByLabel('For what, or whom').fill('my phone')
      await page.getByRole('button', { name: 'Make an address' }).click()
      const address = await page.locator('.told-once pre').textContent()
      expect(address).toContain(`${garden.hub.httpUrl}/api/v1/gardens/home/calendar.ics?key=`)
      const file = await (await fetch(address!)).text()
      expect(file).toContain(`UID:${kale}.feed.1@`)
      expect(
        await page.getByRole('link', { name: 'Open it in this device’s calendar' }).getAttribute('href'),
      ).toMatch(/^webcal:/)
      await page.reload()
      await page.getByText('Follow this list in a calendar').click()
      await page.getByText('my phone, made on 28 Mar 2027').waitFor()
      expect(await page.locator('.told-once').count()).toBe(0)
      await page.getByRole('button', { name: 'Remove the address for my phone' }).click()
      await page.getByRole('button', { name: 'Yes, remove' }).click()
      await page.getByText('my phone, made on').waitFor({ state: 'detached' })
      expect((await ask(garden.hub, 'GET', 'gardens/home/calendar-links')).body).toEqual([])
    })
  })

  test('prints as a list to tick off, without its buttons', async () => {
    const page = await open()
    await page.emulateMedia({ media: 'print' })
    expect(await page.getByRole('button', { name: /^Done/ }).first().isVisible()).toBe(false)
    const box = `getComputedStyle(document.querySelector('.task'), '::before').borderStyle`
    expect(await page.evaluate(box)).toBe('solid')
  })
})
