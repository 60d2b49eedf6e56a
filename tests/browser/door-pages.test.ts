/** The door's own pages in both lights and sizes; and names that would be script if the page took them for HTML. */
import { afterEach, beforeEach, expect, test } from 'vitest'
import { type ClosedHub, closedHub, letNodeIn, PASSPHRASE } from '../doors/closed-hub.js'
import { objections } from './axe.js'
import { describeInBrowser } from './chromium.js'

const HOSTILE = "<img src=x onerror=\"document.title='run'\"><script>document.title='run'</script>"
const VIEWS = [
  { width: 360, scheme: 'light' },
  { width: 1600, scheme: 'dark' },
] as const

describeInBrowser('a closed hub in a browser', ({ visit }) => {
  let closed: ClosedHub
  beforeEach(async () => {
    closed = await closedHub()
  })
  afterEach(() => closed.close())

  test.each(VIEWS)('has nothing that axe-core objects to at its door ($width, $scheme)', async (view) => {
    const first = await visit(closed.hub.httpUrl, view)
    await first.page.getByLabel('Set-up code').waitFor()
    expect(await objections(first.page)).toEqual([])
    await closed.owner()
    const { page, complaints } = await visit(`${closed.hub.httpUrl}/nodes`, view)
    await page.getByRole('button', { name: 'Open the almanac' }).waitFor()
    expect(await objections(page)).toEqual([])
    expect(await page.evaluate('document.documentElement.scrollWidth <= innerWidth')).toBe(true)
    expect(complaints).toEqual([])
    await page.getByLabel('Passphrase', { exact: true }).fill(PASSPHRASE)
    await page.getByRole('button', { name: 'Open the almanac' }).click()
    await page.getByRole('heading', { name: 'Nodes', exact: true }).waitFor()
  })

  test('shows names that hold HTML as the text they are', async () => {
    const owner = await closed.owner()
    const garden = {
      name: HOSTILE.slice(0, 80),
      latitudeDeg: 55,
      longitudeDeg: 12,
      timeZone: 'Europe/Copenhagen',
    }
    await owner.ask('PUT', 'gardens/home', garden)
    const bed = { name: HOSTILE.slice(0, 80), kind: 'raised', lengthM: 1, widthM: 1 }
    await owner.ask('PUT', 'gardens/home/beds/b', bed)
    await owner.ask('PUT', 'gardens/home/nodes/n', { name: HOSTILE.slice(0, 80) })
    await owner.ask('POST', 'access/links', { name: HOSTILE.slice(0, 80), days: 1 })
    const { client } = await letNodeIn(closed, owner, 'n')
    await client.publishAsync('gardens/home/nodes/n/readings', HOSTILE, { qos: 1 })
    await client.endAsync()
    const { page, complaints } = await visit(closed.hub.httpUrl)
    await page.getByLabel('Passphrase', { exact: true }).fill(PASSPHRASE)
    await page.getByRole('button', { name: 'Open the almanac' }).click()
    await page.locator('.masthead').waitFor()
    for (const way of ['Today', 'Nodes', 'Garden']) {
      await page.getByRole('link', { name: way, exact: true }).click()
      await page.locator('main h2, main [data-bed]').first().waitFor()
      await page.waitForFunction('document.body.innerText.includes("<img src=x")')
      expect(await page.locator('img[src=x]').count()).toBe(0)
      expect(await page.title()).not.toBe('run')
    }
    expect(complaints.filter((text) => /Content Security Policy|onerror/.test(text))).toEqual([])
  })
})
