/** The Today page before a real hub: its figures, its life, and what it says when the hub is gone. */
import { afterAll, beforeAll, expect, test } from 'vitest'
import { Config } from '../../hub/config.js'
import { startHub } from '../../hub/main.js'
import { silent } from '../hub/hub-fixture.js'
import { describeInBrowser } from './chromium.js'
import { filledHub, type GardenOnHub, publish, tell } from './garden-fixture.js'
import { layoutShift } from './in-page.js'

describeInBrowser('the Today page', ({ visit }) => {
  let garden: GardenOnHub
  beforeAll(async () => {
    garden = await filledHub()
  })
  afterAll(() => garden.close())

  test('shows each bed with its sun, its figures and the garden’s own date', async () => {
    const { page } = await visit(garden.hub.httpUrl)
    const row = page.locator('[data-bed=quince]')
    await row.getByText('of sun').first().waitFor()
    expect(await row.locator('.say').textContent()).toMatch(/\d+\u00a0h.* of sun so far; .*hours/)
    expect(await row.locator('table.figures').textContent()).toContain('14.0\u00a0°C')
    expect(await page.locator('.masthead-title').textContent()).toContain('Sunday, the 28th of March')
    expect(await row.locator('.ribbon rect[data-state=sun]').count()).toBeGreaterThan(0)
    expect(await row.locator('[data-mark=present]').count()).toBe(1)
    expect(await page.locator('[data-bed=gate]').textContent()).toContain('no reading yet')
  })

  test('moves with a reading that arrives, without a reload', async () => {
    const { page } = await visit(garden.hub.httpUrl)
    const air = page.locator('[data-bed=quince] table.figures tbody tr').first()
    await air.getByText('°C').first().waitFor()
    await publish(garden.client, 'wren', garden.now(), { 'air-temp': 15.3 })
    await air.getByText('15.3\u00a0°C').first().waitFor()
    // the day's range is computed by the hub and follows
    await air.getByText(/to 15\.3\u00a0°C/).waitFor({ timeout: 30_000 })
  })

  test('shows temperatures in °F when asked, and remembers it', async () => {
    const { page } = await visit(garden.hub.httpUrl)
    const air = page.locator('[data-bed=quince] table.figures tbody tr').first()
    await air.getByText('°C').first().waitFor()
    await page.getByLabel('°F').check()
    await air
      .getByText(/5\d\.\d\u00a0°F/)
      .first()
      .waitFor()
    await page.reload()
    await air
      .getByText(/5\d\.\d\u00a0°F/)
      .first()
      .waitFor()
  })

  test('tells the ribbon as a table too', async () => {
    const { page } = await visit(garden.hub.httpUrl)
    const row = page.locator('[data-bed=quince]')
    await row.getByText('The ribbon in words').click()
    await row.getByRole('columnheader', { name: 'mostly' }).waitFor()
    expect(await row.locator('details tbody tr').count()).toBeGreaterThan(0)
  })

  test('hatches the rest of the day where the skyline will hide the sun', async () => {
    // a wall to the west of the bed without a node: the afternoon's sun goes behind it
    await tell(garden.hub, 'PUT', 'gardens/home/beds/gate/skyline', {
      points: [],
      fences: [{ heightM: 3, distanceM: 1.5, directionDeg: 270, leftEndDeg: null, rightEndDeg: null }],
    })
    const { page } = await visit(garden.hub.httpUrl)
    const ribbon = page.locator('[data-bed=gate] .ribbon svg')
    await ribbon.locator('[data-mark=hidden]').first().waitFor()
    expect(await ribbon.getAttribute('aria-label')).toMatch(
      /Still to come, behind the skyline: 1[4-9]:\d\d to /,
    )
    expect(await page.locator('[data-bed=quince] [data-mark=hidden]').count()).toBe(0)
  })

  test('keeps everything where it is while it loads', async () => {
    const { page } = await visit(garden.hub.httpUrl, { width: 360, height: 800 })
    await page.locator('[data-bed=gate] .ribbon svg').waitFor()
    expect(await layoutShift(page)).toBeLessThan(0.02)
  })
})

describeInBrowser('a page whose hub goes away', ({ visit }) => {
  test('says how old its figures are, and catches up by itself when the hub is back', async () => {
    const garden = await filledHub()
    const { page } = await visit(garden.hub.httpUrl)
    const air = page.locator('[data-bed=quince] table.figures tbody tr').first()
    await air.getByText('14.0\u00a0°C').first().waitFor()

    const port = Number(new URL(garden.hub.httpUrl).port)
    const mqttPort = garden.hub.mqttPort
    await garden.hub.close()
    const notice = page.locator('.line-notice')
    await notice.getByText('The hub does not answer.').waitFor()
    expect(await notice.textContent()).toMatch(/These figures are from 14:1\d, (just now|\d+ minutes? ago)\./)
    // what was shown stays
    expect(await air.textContent()).toContain('14.0\u00a0°C')

    const config = Config.parse({ dataDir: garden.dataDir, httpPort: port, mqttPort })
    const again = await startHub(config, { log: silent, now: garden.now, doors: 'open' })
    await notice.getByText('The hub does not answer.').waitFor({ state: 'detached', timeout: 30_000 })
    await garden.client.endAsync(true)
    await again.close()
  })
})
