/** Saying on the page where warnings go, trying it out, and reading what became of it. */
import { readFileSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import { createRequire } from 'node:module'
import type { AddressInfo } from 'node:net'
import type { Locator, Page } from 'playwright-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { z } from 'zod'
import { ask } from '../hub/hub-fixture.js'
import { describeInBrowser } from './chromium.js'
import { emptyHub, type GardenOnHub, tell, ZONE } from './garden-fixture.js'

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const AxeResult = z.object({ violations: z.array(z.object({ id: z.string() })) })

describeInBrowser('where warnings go', ({ visit }) => {
  let garden: GardenOnHub
  beforeEach(async () => {
    garden = await emptyHub()
    await tell(garden.hub, 'PUT', 'gardens/home', {
      name: 'Quince Court',
      latitudeDeg: 55.7,
      longitudeDeg: 12.5,
      elevationM: 0,
      timeZone: ZONE,
    })
  })
  afterEach(() => garden.close())

  const settings = async (): Promise<unknown> => (await ask(garden.hub, 'GET', 'gardens/home/delivery')).body

  async function opened(page: Page, summary: string, form: string): Promise<Locator> {
    await page.locator('summary', { hasText: summary }).click()
    return page.getByRole('form', { name: form, exact: true })
  }

  test('is set by mail: who, when, and about what', async () => {
    const { page, complaints } = await visit(`${garden.hub.httpUrl}/garden`)
    const form = await opened(page, 'By mail', 'Warnings by mail')
    await form.getByText('The hub knows no mail server yet').waitFor()
    await form.getByLabel('Mail to').fill('grower@example.org; neighbour@example.org')
    await form.getByLabel('The daily letter').selectOption('at 18:00')
    await form.getByLabel('Quiet from').fill('22')
    await form.getByLabel('Quiet until').fill('6.30')
    await form.getByLabel('Warm spell').selectOption('at once')
    await form.getByLabel('Silent node').selectOption('not at all')
    await form.getByRole('button', { name: 'Save' }).click()
    await form.getByText('Saved.').waitFor()
    expect(await settings()).toMatchObject({
      mailTo: ['grower@example.org', 'neighbour@example.org'],
      digestAtHour: 18,
      quietHours: { from: '22:00', to: '06:30' },
      immediateKinds: ['warm-spell', 'frost'],
      mutedKinds: ['node-silent'],
    })
    expect(complaints).toEqual([])
  })

  test('objects at the field to what is no address or no time, and keeps what was typed', async () => {
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    const form = await opened(page, 'By mail', 'Warnings by mail')
    await form.getByLabel('Mail to').fill('grower@example.org, neighbour')
    await form.getByRole('button', { name: 'Save' }).click()
    await form.getByText('use a mail address').waitFor()
    expect(await form.getByLabel('Mail to').getAttribute('aria-invalid')).toBe('true')
    expect(await form.getByLabel('Mail to').inputValue()).toBe('grower@example.org, neighbour')
    await form.getByLabel('Mail to').fill('grower@example.org')
    await form.getByLabel('Quiet from').fill('late')
    await form.getByRole('button', { name: 'Save' }).click()
    await form.getByText('write a time').waitFor()
    expect(await settings()).toMatchObject({ mailTo: [], quietHours: null })
  })

  test('sends a test to a program, says so, and stays accessible with all of it open', async () => {
    const got: string[] = []
    const receiver: Server = createServer((request, response) => {
      got.push(String(request.headers['hearting-hmac-sha256']))
      response.writeHead(204).end()
    })
    await new Promise<void>((resolve) => {
      receiver.listen(0, '127.0.0.1', resolve)
    })
    const url = `http://127.0.0.1:${(receiver.address() as AddressInfo).port}/in`
    const { page } = await visit(`${garden.hub.httpUrl}/garden`, { width: 360 })
    const form = await opened(page, 'To a program', 'Warnings to a program')
    await form.getByLabel('Post news to').fill(url)
    await form.getByRole('button', { name: 'Save' }).click()
    await form.getByText('choose a secret').waitFor()
    await form.getByLabel('Secret shared with it').fill('a secret shared by two')
    await form.getByRole('button', { name: 'Save' }).click()
    await form.getByText('One is kept').waitFor()
    expect(await form.getByLabel('Secret shared with it').inputValue()).toBe('')
    await form.getByRole('button', { name: 'Send a test' }).click()
    await form.getByText('The receiver took it.').waitFor()
    expect(got).toEqual([expect.stringMatching(/^[0-9a-f]{64}$/)])
    receiver.closeAllConnections()
    receiver.close()

    await page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
    await page.evaluate(AXE)
    const { violations } = AxeResult.parse(await page.evaluate('axe.run(document)'))
    expect(violations.map(({ id }) => id)).toEqual([])
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360)
  })
})
