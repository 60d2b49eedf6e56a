/** Writing and reading the journal: one touch, few fields, the way back, photos, faults at their fields. */
import type { Locator, Page } from 'playwright-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { z } from 'zod'
import { JournalKind } from '../../shared/api/journal.js'
import { ask } from '../hub/hub-fixture.js'
import { objections } from './axe.js'
import { describeInBrowser } from './chromium.js'
import { tell } from './garden-fixture.js'
import { layoutShift } from './in-page.js'
import { eventually, type JournalGarden, journalGarden, largePicture, TODAY } from './journal-garden.js'

const sentence = (page: Page, text: string): Locator => page.locator('.journal-entry b').getByText(text)

const touch = (page: Page, name: string): Promise<void> =>
  page.getByRole('button', { name, exact: true }).first().click()

describeInBrowser('the journal', ({ visit }) => {
  let garden: JournalGarden
  beforeEach(async () => {
    garden = await journalGarden()
  })
  afterEach(() => garden.close())

  const open = async (view = {}, query = '') => {
    const visited = await visit(`${garden.url}/journal${query}`, view)
    await visited.page.getByLabel('Of what').first().waitFor()
    await visited.page.getByText('What was done and seen').waitFor()
    return visited
  }

  test('takes one touch for what needs no words, dated today, for the planting that grows', async () => {
    const { page, complaints } = await open({ width: 360 })
    await touch(page, 'Fed')
    await page.getByText('Fed, 28 Mar.').waitFor()
    await eventually(() => garden.written()).toMatchObject([
      { kind: 'fed', on: TODAY, planting: garden.cabbage, plants: null },
    ])
    await page.locator('[data-state=with-hub]').waitFor()
    expect(complaints).toEqual([])
  })

  test('has the way back beside what was done: undo leaves nothing', async () => {
    const { page } = await open()
    await touch(page, 'Watered')
    await eventually(async () => (await garden.written()).length).toBe(1)
    await touch(page, 'Undo')
    await page.getByText('Undone.').waitFor()
    await eventually(() => garden.written()).toEqual([])
    await eventually(() => page.locator('.journal-entry').count()).toBe(0)
  })

  test('changes what was just written, from the line that says so', async () => {
    const { page } = await open()
    await touch(page, 'Fed')
    await touch(page, 'Edit')
    await page.getByLabel('With what feed').fill('nettle tea')
    await page.getByLabel('On', { exact: true }).fill('2027-03-26')
    await touch(page, 'Save')
    await sentence(page, 'Fed with nettle tea.').waitFor()
    await eventually(() => garden.written()).toMatchObject([{ what: 'nettle tea', on: '2027-03-26' }])
  })

  test('asks few things of a cut, in the reader’s measures, and keeps the hub’s figures when they are shown in others', async () => {
    const { page } = await open()
    await page.getByText('All other entries').click()
    await touch(page, 'Cut …')
    await page.getByLabel('How many plants').fill('2')
    await page.getByLabel('Weight of all, kg').fill('1,63')
    await page.getByLabel('Across one of them, cm').fill('16.5')
    await touch(page, 'Write it down')
    await sentence(page, 'Cut 2 plants, 1.63 kg in all, 16.5 cm across.').waitFor()
    await page.getByLabel('feet').check()
    await sentence(page, 'Cut 2 plants, 3 lb 9 oz in all, 6.5 in across.').waitFor()
    await page.locator('.journal-entry').getByRole('button', { name: /Edit/ }).click()
    expect(await page.getByLabel('Weight of all, lb').inputValue()).toBe('3.594')
    await page.getByLabel('How many plants').fill('3')
    await touch(page, 'Save')
    await eventually(() => garden.written()).toMatchObject([
      { kind: 'cut', plants: 3, weightKg: 1.63, diameterMm: 165 },
    ])
  })

  test('takes firmness with one of three touches', async () => {
    await tell(garden.hub(), 'POST', 'gardens/home/journal', {
      kind: 'heads-started',
      on: '2027-03-20',
      planting: garden.cabbage,
    })
    const { page } = await open()
    await touch(page, 'giving')
    await eventually(() => garden.written()).toMatchObject([
      { kind: 'heads-started' },
      { kind: 'firmness', firmness: 'giving', on: TODAY },
    ])
  })

  test('says at the field what is wrong, by the page and by the hub, and keeps what was typed over a reload', async () => {
    const { page } = await open()
    await page.getByText('All other entries').click()
    await touch(page, 'Lost …')
    await page.getByLabel('How many plants').fill('some')
    await page.getByLabel('To what').fill('cutworms')
    await touch(page, 'Write it down')
    await page.getByText('write a number').waitFor()
    await page.getByLabel('How many plants').fill('40')
    await touch(page, 'Write it down')
    await page.getByText('the planting has 9 plants in all').waitFor()
    await eventually(() => page.getByLabel('How many plants').getAttribute('aria-invalid')).toBe('true')
    await expect.poll(() => page.locator('.journal-entry').count()).toBe(0)
    await page.reload()
    await page.getByLabel('To what').waitFor()
    expect(await page.getByLabel('To what').inputValue()).toBe('cutworms')
    expect(await page.getByLabel('How many plants').inputValue()).toBe('40')
    await page.getByRole('link', { name: 'Nodes' }).click()
    await page.getByRole('heading', { name: 'Nodes' }).waitFor()
    await page.getByRole('link', { name: 'Journal' }).click()
    expect(await page.getByLabel('To what').inputValue()).toBe('cutworms')
    await page.getByLabel('How many plants').fill('4')
    await touch(page, 'Write it down')
    await eventually(() => garden.written()).toMatchObject([{ kind: 'lost', plants: 4, what: 'cutworms' }])
  })

  test('takes an entry back after a while in which it can be kept', async () => {
    await tell(garden.hub(), 'POST', 'gardens/home/journal', {
      kind: 'netted',
      on: '2027-03-20',
      planting: garden.cabbage,
    })
    const { page } = await open()
    const takeBack = page.getByRole('button', { name: /Take back/ })
    await takeBack.click()
    await eventually(() => page.locator('.journal-entry').count()).toBe(0)
    await touch(page, 'Keep it after all')
    await page.locator('.journal-entry').waitFor()
    expect((await garden.written()).length).toBe(1)
    await takeBack.click()
    await eventually(() => garden.written()).toEqual([])
  })

  test('makes a photo small, shows it, and opens it whole', async () => {
    const { page } = await open()
    await page.getByText('All other entries').click()
    await touch(page, 'Note …')
    await page.locator('textarea[name=note]').fill('The row by the gate.')
    await page.getByLabel('Choose a picture').setInputFiles({
      name: 'row.png',
      mimeType: 'image/png',
      buffer: await largePicture(page),
    })
    await page.locator('.new-photos img').waitFor()
    await touch(page, 'Write it down')
    await eventually(async () => (await garden.written())[0]?.photos.length).toBe(1)
    const image = page.locator('.journal-entry a img')
    await image.waitFor()
    const size = z
      .object({ width: z.number(), height: z.number() })
      .parse(
        await image.evaluate(
          '(e => e.decode().then(() => ({ width: e.naturalWidth, height: e.naturalHeight })))(document.querySelector(".journal-entry a img"))',
        ),
      )
    expect(size).toEqual({ width: 1600, height: 800 })
    expect((await garden.written())[0]?.photos[0]?.mediaType).toBe('image/jpeg')
  })

  test('keeps a chosen photo over a reload, and not once the entry is written', async () => {
    const { page } = await open()
    await page.getByText('All other entries').click()
    await touch(page, 'Note …')
    await page.getByLabel('Choose a picture').setInputFiles({
      name: 'row.png',
      mimeType: 'image/png',
      buffer: await largePicture(page),
    })
    await page.locator('.new-photos img').waitFor()
    await page.reload()
    await page.locator('.new-photos img').waitFor()
    await page.locator('textarea[name=note]').fill('The row by the gate.')
    await touch(page, 'Write it down')
    await eventually(async () => (await garden.written())[0]?.photos.length).toBe(1)
    await page.getByText('All other entries').click()
    const note = page.getByRole('button', { name: 'Note …' })
    await note.click()
    await page.locator('textarea[name=note]').waitFor()
    expect(await page.locator('.new-photos img').count()).toBe(0)
    await touch(page, 'Leave it')
    expect(await note.evaluate('document.activeElement.textContent')).toContain('Note')
  })

  test('says so when a file is no picture, and keeps the rest', async () => {
    const { page } = await open()
    await page.getByText('All other entries').click()
    await touch(page, 'Note …')
    await page.locator('textarea[name=note]').fill('Kept.')
    const buffer = Buffer.from('not a picture')
    await page.getByLabel('Take a photo').setInputFiles({ name: 'x.jpg', mimeType: 'image/jpeg', buffer })
    await page.getByText('This browser cannot read the picture').waitFor()
    await touch(page, 'Write it down')
    await eventually(() => garden.written()).toMatchObject([{ note: 'Kept.', photos: [] }])
  })

  test('is filtered by planting and kind, in its address', async () => {
    for (const [kind, planting] of [
      ['watered', null],
      ['fed', garden.cabbage],
      ['weeded', garden.cabbage],
    ])
      await tell(garden.hub(), 'POST', 'gardens/home/journal', { kind, on: '2027-03-20', planting })
    const { page } = await open({}, `?planting=${garden.cabbage}`)
    await eventually(() => page.locator('.journal-entry').count()).toBe(2)
    await page.getByLabel('of the kind').selectOption('weeded')
    await eventually(() => page.locator('.journal-entry').count()).toBe(1)
    expect(page.url()).toContain('kind=weeded')
    await page.reload()
    await sentence(page, 'Weeded.').waitFor()
    expect(await page.locator('.journal-entry').count()).toBe(1)
  })

  test('shows another garden’s own once that is chosen, and nothing of the one before', async () => {
    await tell(garden.hub(), 'PUT', 'gardens/far', {
      name: 'Far Field',
      latitudeDeg: 55.6,
      longitudeDeg: 12.9,
      timeZone: 'Europe/Stockholm',
    })
    await tell(garden.hub(), 'PUT', 'gardens/far/beds/strip', {
      name: 'Long strip',
      kind: 'ground',
      lengthM: 9,
      widthM: 1,
      depthM: null,
    })
    await tell(garden.hub(), 'POST', 'gardens/home/journal', {
      kind: 'weeded',
      on: '2027-03-20',
      planting: garden.cabbage,
    })
    const { page } = await open({}, `?planting=${garden.cabbage}`)
    await sentence(page, 'Weeded.').waitFor()
    await page.locator('.garden-choice select').selectOption('Far Field')
    await page.getByText('Nothing is written yet.').waitFor()
    expect(new URL(page.url()).search).toBe('')
    expect(await page.getByLabel('Of what').locator('option').allTextContents()).toEqual([
      'Long strip',
      'The garden',
    ])
    await touch(page, 'Watered')
    await page.locator('[data-state=with-hub]').waitFor()
    expect((await garden.written()).map(({ kind }) => kind)).toEqual(['weeded'])
  })

  test('stays light with five seasons in it', async () => {
    const kinds = JournalKind.options.filter((kind) => ['fed', 'watered', 'weeded', 'netted'].includes(kind))
    const days = 5 * 300
    const made = Array.from({ length: days }, (_, i) => ({
      id: `season-entry-${i}`,
      kind: kinds[i % kinds.length],
      on: new Date(Date.parse('2022-04-01') + i * 86_400_000).toISOString().slice(0, 10),
      planting: null,
      bed: 'gate',
    }))
    for (let i = 0; i < made.length; i += 50)
      await Promise.all(
        made.slice(i, i + 50).map((entry) => ask(garden.hub(), 'POST', 'gardens/home/journal', entry)),
      )
    expect((await garden.written()).length).toBe(days)
    const { page } = await open()
    await page.locator('.journal-entry').first().waitFor()
    expect(await page.locator('.journal-entry').count()).toBe(40)
    await page.getByRole('button', { name: /earlier ones/ }).click()
    expect(await page.locator('.journal-entry').count()).toBe(140)
    await page.getByLabel('of the kind').selectOption('netted')
    await eventually(() => page.locator('.journal-entry').count()).toBe(40)
  })

  for (const width of [360, 1600])
    test(`does not move while it loads, has large targets, and pleases axe-core with a form open, ${width} px`, async () => {
      await tell(garden.hub(), 'POST', 'gardens/home/journal', {
        kind: 'cut',
        on: '2027-03-20',
        planting: garden.cabbage,
        plants: 1,
        weightKg: 0.8,
      })
      const { page, complaints } = await open({ width })
      await page.locator('.journal-entry').waitFor()
      expect(await layoutShift(page)).toBeLessThan(0.01)
      await page.getByText('All other entries').click()
      await touch(page, 'Cut …')
      await page.getByLabel('Weight of all, kg').waitFor()
      const small =
        await page.evaluate(`[...document.querySelectorAll('.journal button, .journal select, .journal input')]
        .filter((e) => e.checkVisibility() && e.type !== 'file' && e.type !== 'radio' && e.getBoundingClientRect().height < 48)
        .map((e) => e.outerHTML)`)
      expect(small).toEqual([])
      expect(await objections(page)).toEqual([])
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width)
      expect(complaints).toEqual([])
    })
})
