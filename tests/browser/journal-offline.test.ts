/** The journal without its hub: nothing is lost, nothing comes twice, whatever breaks and whenever. */
import type { Locator, Page } from 'playwright-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { closedHub, PASSPHRASE } from '../doors/closed-hub.js'
import { describeInBrowser } from './chromium.js'
import { eventually, type JournalGarden, journalGarden, largePicture } from './journal-garden.js'

const sentence = (page: Page, text: string): Locator => page.locator('.journal-entry b').getByText(text)

const touch = (page: Page, name: string): Promise<void> =>
  page.getByRole('button', { name, exact: true }).first().click()

const waits = (page: Page) => page.getByText(/entr(y waits|ies wait) in this browser/)

/** Until the worker is in charge and has kept what the journal needs. */
const workerReady = (page: Page): Promise<void> =>
  eventually(() =>
    page.evaluate(`(async () => navigator.serviceWorker.controller !== null &&
      (await caches.match('/api/v1/gardens/home/journal')) !== undefined)()`),
  ).toBe(true)

describeInBrowser('the journal without the hub', ({ visit }) => {
  let garden: JournalGarden
  beforeEach(async () => {
    garden = await journalGarden()
  })
  afterEach(() => garden.close())

  const open = async (view = {}): Promise<Page> => {
    const { page } = await visit(`${garden.url}/journal`, view)
    await page.getByText('What was done and seen').waitFor()
    return page
  }

  test('keeps what is written without a connection and sends it once there is one', async () => {
    const page = await open()
    await page.context().setOffline(true)
    await touch(page, 'Fed')
    await touch(page, 'Watered')
    await waits(page).waitFor()
    expect(await page.locator('[data-state=waiting]').count()).toBe(2)
    expect(await garden.written()).toEqual([])
    await page.context().setOffline(false)
    await eventually(async () => (await garden.written()).map((e) => e.kind)).toEqual(['fed', 'watered'])
    await eventually(() => page.locator('[data-state=with-hub]').count()).toBe(2)
    await eventually(() => waits(page).count()).toBe(0)
  })

  test('keeps it while the hub is stopped, over a new tab, and sends it when the hub is back', async () => {
    const page = await open()
    await garden.stop()
    await page.getByText('All other entries').click()
    await touch(page, 'Note …')
    await page.locator('textarea[name=note]').fill('The hub is out of power.')
    await page.getByLabel('Choose a picture').setInputFiles({
      name: 'row.png',
      mimeType: 'image/png',
      buffer: await largePicture(page),
    })
    await touch(page, 'Write it down')
    await waits(page).waitFor()
    // seen while it waits
    await page.locator('.journal-entry .photos img').waitFor()
    await garden.start()
    // another page of the same browser sends it at its start
    const second = await page.context().newPage()
    await page.close()
    await second.goto(garden.url)
    await eventually(async () => (await garden.written()).map((e) => [e.note, e.photos.length])).toEqual([
      ['The hub is out of power.', 1],
    ])
  })

  test('sends once what arrived although its answer was lost', async () => {
    const page = await open()
    let sent = 0
    await page.route('**/api/v1/gardens/home/journal', async (route) => {
      if (route.request().method() !== 'POST' || sent++ > 0) return route.fallback()
      await route.fetch()
      await route.abort('connectionreset')
    })
    await touch(page, 'Fed')
    // its first sending arrived, and is sent again, since nobody said so
    await eventually(() => sent).toBe(2)
    await page.locator('[data-state=with-hub]').waitFor()
    expect((await garden.written()).map((e) => e.kind)).toEqual(['fed'])
    expect(await page.locator('.journal-entry').count()).toBe(1)
  })

  test('brings changes and removals in their order, written before the hub had the entry', async () => {
    const page = await open()
    await page.context().setOffline(true)
    await touch(page, 'Fed')
    await touch(page, 'Edit')
    await page.getByLabel('With what feed').fill('comfrey')
    await touch(page, 'Save')
    await sentence(page, 'Fed with comfrey.').waitFor()
    await touch(page, 'Watered')
    await touch(page, 'Undo')
    await page.context().setOffline(false)
    await eventually(() => garden.written()).toMatchObject([{ kind: 'fed', what: 'comfrey' }])
    await eventually(() => page.locator('[data-state=waiting]').count()).toBe(0)
    expect((await garden.written()).length).toBe(1)
  })

  test('keeps what the hub refuses, with its words, to be mended', async () => {
    const page = await open()
    await page.context().setOffline(true)
    await page.getByText('All other entries').click()
    await touch(page, 'Lost …')
    await page.getByLabel('How many plants').fill('40')
    await page.getByLabel('To what').fill('a hare')
    await touch(page, 'Write it down')
    await waits(page).waitFor()
    await touch(page, 'Fed')
    await page.context().setOffline(false)
    await page.getByText('the planting has 9 plants in all').waitFor()
    // the others do not wait for it
    await eventually(async () => (await garden.written()).map((e) => e.kind)).toEqual(['fed'])
    await page.reload()
    await page.getByText('the planting has 9 plants in all').waitFor()
    await touch(page, 'Mend it')
    const form = page.locator('.journal-entry .entry-form')
    expect(await form.getByLabel('To what').inputValue()).toBe('a hare')
    await form.getByLabel('How many plants').fill('4')
    await touch(page, 'Save')
    await eventually(async () => (await garden.written()).map((e) => [e.kind, e.plants])).toEqual([
      ['fed', null],
      ['lost', 4],
    ])
    await eventually(() => page.locator('[data-state=refused], [data-state=waiting]').count()).toBe(0)
  })

  test('throws away what the hub refuses, if that is wanted', async () => {
    const page = await open()
    await page.getByText('All other entries').click()
    await page.getByLabel('On (today)').fill('2027-01-02')
    await touch(page, 'Seedlings up')
    await page.locator('[data-state=refused]').waitFor()
    await page.locator('.refused').getByRole('button', { name: 'Throw it away' }).click()
    await eventually(() => page.locator('.journal-entry').count()).toBe(0)
    expect(await garden.written()).toEqual([])
  })

  for (const hasLocks of [true, false])
    test(`neither doubles nor loses anything with two tabs ${hasLocks ? 'and the browser’s locks' : 'on plain http, without locks'}`, async () => {
      const first = await open()
      const second = await first.context().newPage()
      if (!hasLocks)
        for (const page of [first, second])
          await page.addInitScript(
            'delete Navigator.prototype.locks; delete Navigator.prototype.serviceWorker',
          )
      await second.goto(`${garden.url}/journal`)
      if (!hasLocks) await first.reload()
      for (const page of [first, second]) await page.getByText('What was done and seen').waitFor()
      await first.context().setOffline(true)
      for (const page of [first, second]) {
        await touch(page, 'Fed')
        await touch(page, 'Watered')
        await touch(page, 'Weeded')
      }
      // each tab shows what the other wrote
      for (const page of [first, second])
        await eventually(() => page.locator('[data-state=waiting]').count()).toBe(6)
      await first.context().setOffline(false)
      await eventually(async () => (await garden.written()).length).toBe(6)
      for (const page of [first, second])
        await eventually(() => page.locator('[data-state=with-hub]').count()).toBe(6)
      expect(new Set((await garden.written()).map((e) => e.id)).size).toBe(6)
    })

  test('opens without a connection, as a copy that says so, and takes entries', async () => {
    const page = await open({ hasWorker: true })
    await touch(page, 'Weeded')
    await eventually(async () => (await garden.written()).length).toBe(1)
    await workerReady(page)
    await garden.stop()
    await page.reload()
    await page.getByText('This is a copy').waitFor()
    await page.getByLabel('Of what').first().waitFor()
    expect(await page.getByLabel('Of what').first().inputValue()).toBe(`planting:${garden.cabbage}`)
    // without the hub the day is the browser's own, long before this garden's cabbages were sown
    await touch(page, 'Watered')
    await waits(page).waitFor()
    // an entry written with the page closed again meanwhile is still there
    await page.reload()
    await page.locator('[data-state=waiting]').waitFor()
    await garden.start()
    await page.reload()
    await eventually(async () => (await garden.written()).map((e) => e.kind)).toEqual(['watered', 'weeded'])
    await eventually(() => page.getByText('This is a copy').count()).toBe(0)
  })

  test('opens without a connection at other addresses too, filters and all', async () => {
    const page = await open({ hasWorker: true })
    await workerReady(page)
    await page.goto(`${garden.url}/nodes`)
    await page.getByRole('heading', { name: 'Nodes' }).waitFor()
    await page.context().setOffline(true)
    await page.goto(`${garden.url}/journal?kind=fed`)
    await page.getByLabel('Of what').first().waitFor()
    expect(await page.getByLabel('of the kind').inputValue()).toBe('fed')
  })
})

describeInBrowser('the journal behind doors', ({ visit }) => {
  test('waits while nobody is signed in, forgets the copies, and sends after signing in', async () => {
    const closed = await closedHub()
    const owner = await closed.owner()
    const garden = { name: 'Plot', latitudeDeg: 55.7, longitudeDeg: 12.5, timeZone: 'Europe/Copenhagen' }
    await owner.ask('PUT', 'gardens/home', garden)
    await owner.ask('PUT', 'gardens/home/beds/long', {
      name: 'Long',
      kind: 'raised',
      lengthM: 3,
      widthM: 1.2,
    })
    const enter = async (page: Page): Promise<void> => {
      await page.getByLabel('Passphrase', { exact: true }).fill(PASSPHRASE)
      await page.getByRole('button', { name: 'Open the almanac' }).click()
      await page.getByText('What was done and seen').waitFor()
    }
    const { page } = await visit(`${closed.hub.httpUrl}/journal`, { hasWorker: true })
    await enter(page)
    await workerReady(page)
    await page.context().clearCookies()
    await touch(page, 'Watered')
    await page.getByText('1 entry waits in this browser').waitFor()
    await page.getByRole('button', { name: 'Open the almanac' }).waitFor()
    // what was kept of the garden is gone
    await eventually(() =>
      page.evaluate(`caches.match('/api/v1/gardens/home/journal').then((kept) => kept === undefined)`),
    ).toBe(true)
    await enter(page)
    await eventually(async () => (await owner.ask('GET', 'gardens/home/journal')).body).toMatchObject([
      { kind: 'watered', bed: 'long' },
    ])
    await closed.close()
  })

  test('lets a helper read, and write nothing', async () => {
    const closed = await closedHub()
    const owner = await closed.owner()
    const garden = { name: 'Plot', latitudeDeg: 55.7, longitudeDeg: 12.5, timeZone: 'Europe/Copenhagen' }
    await owner.ask('PUT', 'gardens/home', garden)
    const today = new Date().toISOString().slice(0, 10)
    await owner.ask('POST', 'gardens/home/journal', { kind: 'note', on: today, note: 'To be read.' })
    const link = await owner.ask('POST', 'access/links', { name: 'Aunt', days: 2 })
    const { page } = await visit(`${closed.hub.httpUrl}/look#${link.body.secret}`)
    await page.getByRole('link', { name: 'Journal' }).click()
    await page.getByText('To be read.').waitFor()
    expect(await page.locator('.journal button').count()).toBe(0)
    await closed.close()
  })
})
