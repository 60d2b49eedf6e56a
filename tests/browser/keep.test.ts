/** Taking the garden's data away from its page, and bringing measured history in. */
import { readFile } from 'node:fs/promises'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { ask } from '../hub/hub-fixture.js'
import { objections } from './axe.js'
import { describeInBrowser } from './chromium.js'
import { filledHub, type GardenOnHub } from './garden-fixture.js'

const START_MS = Date.UTC(2026, 4, 6)
/** thousands of readings take a busy machine a while */
const PATIENCE = { timeout: 60_000 }
const rowsFrom = (minute: number, n: number): string =>
  Array.from(
    { length: n },
    (_, i) => `${new Date(START_MS + (minute + i) * 60_000).toISOString()},${i % 20}`,
  ).join('\n')

describeInBrowser('the garden’s data', ({ visit }) => {
  let garden: GardenOnHub
  beforeAll(async () => {
    garden = await filledHub()
  })
  afterAll(() => garden.close())

  async function opened(page: Page) {
    await page.getByText('Bring in measured history').click()
    const form = page.getByRole('form', { name: 'Measured history' })
    const choose = (name: string, text: string) =>
      form.getByLabel('CSV file').setInputFiles({ name, mimeType: 'text/csv', buffer: Buffer.from(text) })
    return { form, choose, send: () => form.getByRole('button', { name: 'Bring it in' }).click() }
  }

  test('is taken away in files with names that say what they are', async () => {
    const { page, complaints } = await visit(`${garden.hub.httpUrl}/garden`)
    const links = [
      ['The garden', 'home-garden.json', /"format":"hearting garden"/],
      ['All readings', 'home-readings.csv', /^garden,node,quantity,time,value,unit,flags,received\r\n/],
      ['All day records', 'home-days.csv', /^garden,bed,date,sunHours/],
    ] as const
    for (const [name, file, content] of links) {
      const downloading = page.waitForEvent('download')
      await page.getByRole('link', { name, exact: true }).click(PATIENCE)
      const download = await downloading
      expect(download.suggestedFilename()).toBe(file)
      expect(await readFile(await download.path(), 'utf8')).toMatch(content)
    }
    await page.getByLabel('Of one bed only').selectOption('Under the quince')
    const downloading = page.waitForEvent('download')
    await page.getByRole('link', { name: 'its day records' }).click()
    const days = await readFile(await (await downloading).path(), 'utf8')
    expect(days).toMatch(/^home,quince,2027-03-27,/m)
    expect(complaints).toEqual([])
  })

  test('takes history in, in parts, and tells what became of it', async () => {
    const { page, complaints } = await visit(`${garden.hub.httpUrl}/garden`)
    const { form, choose, send } = await opened(page)
    await choose('history.csv', `# a station\ntime,air_temp_c\n${rowsFrom(0, 9_000)}\n`)
    await form.getByLabel('The node that measured it').fill('old-station')
    await send()
    await form
      .getByText('9000 readings stored, 0 were there already. All of the file is through.')
      .waitFor(PATIENCE)
    await send()
    await form.getByText('0 readings stored, 9000 were there already.').waitFor(PATIENCE)
    const { body } = await ask(garden.hub, 'GET', 'gardens/home/nodes/old-station')
    expect(body.latest[0]).toMatchObject({ quantity: 'air-temp' })
    expect(complaints).toEqual([])
  })

  test('names the lines at fault as they are in the file, and stores the others', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/garden`, { width: 360 })
    const { form, choose, send } = await opened(page)
    await choose(
      'faulty.csv',
      `time,air_temp_c\n${rowsFrom(20_000, 4_500)}\nnoon,3\n${rowsFrom(30_000, 10)}\n`,
    )
    await form.getByLabel('The node that measured it').fill('old-station')
    await send()
    await form.getByText('4510 readings stored').waitFor(PATIENCE)
    await form.getByText('Line 4502: "noon" is not an ISO 8601 time').waitFor()
    await form.getByText('1 line was left out').waitFor()
    expect(await objections(page)).toEqual([])
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360)
  })

  test('says at the field what is missing, and in words what is no table', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    const { form, choose, send } = await opened(page)
    await send()
    await form.getByText('choose a file first').waitFor()
    await choose('letter.csv', 'Dear grower,\nall is well\n')
    await send()
    await form.getByText('use small letters, digits or hyphens').waitFor()
    await form.getByLabel('The node that measured it').fill('wren')
    await send()
    await form.getByText('the header has no column "time"').waitFor()
    // what was typed is still there
    expect(await form.getByLabel('The node that measured it').inputValue()).toBe('wren')
  })
})
