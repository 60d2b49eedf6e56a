/** The beginning, step by step: what each asks, what it says of mistakes, what a reload leaves, and the wait for a node. */
import { connectAsync, type MqttClient } from 'mqtt'
import type { Locator, Page } from 'playwright-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { type ClosedHub, closedHub, connectNode, PASSPHRASE } from '../doors/closed-hub.js'
import { ask } from '../hub/hub-fixture.js'
import { objections } from './axe.js'
import { describeInBrowser } from './chromium.js'
import { emptyHub, type GardenOnHub, tell, ZONE } from './garden-fixture.js'
import { layoutShift } from './in-page.js'

const SIZES = [
  { width: 360, scheme: 'light' },
  { width: 1600, scheme: 'dark' },
] as const
const GARDEN = { name: 'Damson Yard', latitudeDeg: 55.6, longitudeDeg: 13, timeZone: 'Europe/Stockholm' }

const form = (page: Page, name: string): Locator => page.getByRole('form', { name, exact: true })
const at = (page: Page): string => new URL(page.url()).pathname

/** Nothing axe-core objects to, and nothing wider than the screen. */
async function expectSound(page: Page): Promise<void> {
  expect(await objections(page)).toEqual([])
  expect(await page.evaluate('document.documentElement.scrollWidth <= innerWidth')).toBe(true)
}

describeInBrowser('the beginning', ({ visit }) => {
  let garden: GardenOnHub
  beforeEach(async () => {
    garden = await emptyHub()
  })
  afterEach(() => garden.close())

  test('finds the place by a town of the list, with its clock', async () => {
    const { page, complaints } = await visit(garden.hub.httpUrl)
    await page.getByRole('heading', { name: 'Welcome' }).waitFor()
    await expect.poll(() => at(page)).toBe('/begin/place')
    const entry = form(page, 'The garden')
    await entry.getByLabel('Name of the garden').fill('Damson Yard')
    await entry.getByLabel('A town near it').pressSequentially('malmo')
    await page.getByRole('button', { name: 'Malmö, Skåne, Sweden' }).click()
    expect(await entry.getByLabel('Time zone').inputValue()).toBe('Europe/Stockholm')
    expect(Number(await entry.getByLabel('Latitude').inputValue())).toBeCloseTo(55.6, 0)
    await entry.getByText('By the clock of Europe/Stockholm it is').waitFor()
    await entry.getByRole('button', { name: 'Begin the almanac' }).click()
    await form(page, 'A new bed').waitFor()
    expect(at(page)).toBe('/begin/bed')
    const { body } = await ask(garden.hub, 'GET', 'gardens/home')
    expect(body).toMatchObject({ name: 'Damson Yard', timeZone: 'Europe/Stockholm', elevationM: 0 })
    expect(body.longitudeDeg).toBeCloseTo(13, 0)
    expect(complaints).toEqual([])
  })

  test('says when no town is called so', async () => {
    const { page } = await visit(garden.hub.httpUrl)
    await page.getByLabel('A town near it').pressSequentially('zzzzqq')
    await page.getByText('The list has no town whose name begins so').waitFor()
  })

  test('takes coordinates as people write them, both from one field, and puts their clock in', async () => {
    const { page } = await visit(garden.hub.httpUrl)
    const entry = form(page, 'The garden')
    await entry.getByLabel('Name of the garden').fill('Damson Yard')
    await entry.getByLabel('Latitude').fill('33°52′S 151°12′E')
    expect(await entry.getByLabel('Longitude').inputValue()).toBe('151°12′E')
    await expect.poll(() => entry.getByLabel('Time zone').inputValue()).toBe('Australia/Sydney')
    await entry.getByText(/That is \d+ km from Sydney/).waitFor()
    // a zone of one's own stays, whatever the map says
    await entry.getByLabel('Time zone').fill('Australia/Brisbane')
    await entry.getByLabel('Latitude').fill('33,9 S')
    await entry.getByText('The map has the clock of Australia/Sydney there').waitFor()
    expect(await entry.getByLabel('Time zone').inputValue()).toBe('Australia/Brisbane')
    await entry.getByRole('button', { name: 'Take that one' }).click()
    await entry.getByRole('button', { name: 'Begin the almanac' }).click()
    await form(page, 'A new bed').waitFor()
    expect((await ask(garden.hub, 'GET', 'gardens/home')).body).toMatchObject({
      latitudeDeg: -33.9,
      longitudeDeg: 151.2,
      timeZone: 'Australia/Sydney',
    })
  })

  test('tells mistakes at their field in plain words, and keeps what was typed over a reload', async () => {
    const { page } = await visit(garden.hub.httpUrl)
    const entry = form(page, 'The garden')
    const begin = entry.getByRole('button', { name: 'Begin the almanac' })
    await begin.click()
    await entry.getByText('choose a town above, or write the latitude').waitFor()
    await entry.getByLabel('Latitude').fill('12.5 E')
    await begin.click()
    await entry.getByText('this is the latitude: write degrees, or degrees with N or S').waitFor()
    await entry.getByLabel('Latitude').fill('55.6')
    await entry.getByLabel('Longitude').fill('east')
    await begin.click()
    await entry.getByText('write degrees, e.g. 12.57').waitFor()
    await entry.getByLabel('Longitude').fill('13')
    await begin.click()
    await entry.getByText('give it a name').waitFor()
    await page.reload()
    expect(await form(page, 'The garden').getByLabel('Longitude').inputValue()).toBe('13')
    expect((await ask(garden.hub, 'GET', 'gardens')).body).toEqual([])
  })

  test('goes on where it was after a reload, can be skipped and gone back in', async () => {
    await tell(garden.hub, 'PUT', 'gardens/home', GARDEN)
    const { page } = await visit(`${garden.hub.httpUrl}/begin`, { timeZone: ZONE })
    await expect.poll(() => at(page)).toBe('/begin/bed')
    const bed = form(page, 'A new bed')
    await bed.getByLabel('Name of the bed').fill('Long bed')
    await bed.getByLabel('Length, m').fill('wide')
    await bed.getByLabel('Width, m').fill('4 ft')
    await bed.getByRole('button', { name: 'Add the bed and go on' }).click()
    await bed.getByText('write a length, e.g. 1.2').waitFor()
    await bed.getByLabel('Length, m').fill('-2')
    await bed.getByRole('button', { name: 'Add the bed and go on' }).click()
    await bed.getByText('write a length, e.g. 1.2').waitFor()
    await page.reload()
    expect(await form(page, 'A new bed').getByLabel('Width, m').inputValue()).toBe('4 ft')
    await form(page, 'A new bed').getByLabel('Length, m').fill('240 cm')
    await page.getByRole('button', { name: 'Add the bed and go on' }).click()
    await form(page, 'A new planting').waitFor()
    expect(at(page)).toBe('/begin/crop')
    expect((await ask(garden.hub, 'GET', 'gardens/home/beds')).body).toMatchObject([
      { id: 'long-bed', kind: 'raised', lengthM: 2.4, widthM: 1.2192, depthM: null },
    ])
    await page.getByRole('link', { name: 'Later: go on without' }).click()
    await form(page, 'A first node').waitFor()
    await page.getByRole('link', { name: /^Back/ }).click()
    const planting = form(page, 'A new planting')
    await planting.getByLabel('Crop').selectOption({ label: 'Kale' })
    await planting.getByLabel('How many plants').fill('4')
    await planting.getByRole('button', { name: 'Add the planting' }).click()
    await form(page, 'A first node').waitFor()
    expect((await ask(garden.hub, 'GET', 'gardens/home/plantings')).body).toHaveLength(1)
    const steps = page.getByRole('list', { name: 'The steps of the beginning' })
    await expect
      .poll(() => steps.textContent())
      .toMatch(/The place done[\s\S]*A bed done[\s\S]*A crop done[\s\S]*A node here/)
    await page.goBack()
    await form(page, 'A new planting').waitFor()
  })

  test('shows an open hub’s settings without a password, and turns the wait into the first reading', async () => {
    await tell(garden.hub, 'PUT', 'gardens/home', GARDEN)
    await tell(garden.hub, 'PUT', 'gardens/home/beds/long', {
      name: 'Long bed',
      kind: 'raised',
      lengthM: 2,
      widthM: 1,
    })
    const { page, complaints } = await visit(`${garden.hub.httpUrl}/nodes`)
    await page.getByRole('link', { name: 'Add a node' }).click()
    const entry = form(page, 'A first node')
    await entry.getByRole('button', { name: 'Make it known' }).click()
    await entry.getByText('give it a name with letters or digits').waitFor()
    await entry.getByLabel('Name of the node').fill('Wren by the wall')
    await entry.getByText('In addresses it is called wren-by-the-wall').waitFor()
    await entry.getByRole('button', { name: 'Make it known' }).click()
    await page.getByText('Waiting for the first reading of Wren by the wall').waitFor()
    const settings = page.getByRole('region', { name: 'Type this into the node' })
    await settings.getByText('gardens/home/nodes/wren-by-the-wall/readings').first().waitFor()
    expect(await settings.textContent()).not.toMatch(/password\b.*\n?.*[a-z0-9]{5}-/i)
    await settings.getByText('This hub takes readings from every program on its machine').waitFor()
    await page.reload()
    await page.getByText('Waiting for the first reading of Wren by the wall').waitFor()

    const topic = 'gardens/home/nodes/wren-by-the-wall/readings'
    await garden.client.publishAsync(topic, '[{"n":"air-temp","u":"lx","v":17.4}]', { qos: 1 })
    await page.getByText('One pack was refused').waitFor()
    await garden.client.publishAsync(topic, '[{"n":"air-temp","u":"Cel","v":17.4}]', { qos: 1 })
    await page.getByRole('heading', { name: 'The first reading has arrived' }).waitFor()
    await page.getByText(/Wren by the wall measured 17\.4\s°C/).waitFor()
    await page.getByRole('link', { name: 'Today’s page', exact: true }).click()
    await page.locator('[data-bed=long]').waitFor()
    const { body: placements } = await ask(garden.hub, 'GET', 'gardens/home/placements')
    expect(placements).toMatchObject([{ node: 'wren-by-the-wall', bed: 'long', to: null }])
    expect(complaints).toEqual([])
  })

  test.each(SIZES)('is sound and still at every step ($width, $scheme)', async (view) => {
    const { page, complaints } = await visit(garden.hub.httpUrl, view)
    await page.getByRole('heading', { name: 'Welcome' }).waitFor()
    await page.getByLabel('A town near it').pressSequentially('spring')
    await page.getByRole('list', { name: 'Towns found' }).waitFor()
    await expectSound(page)
    await tell(garden.hub, 'PUT', 'gardens/home', GARDEN)
    await tell(garden.hub, 'PUT', 'gardens/home/beds/long', {
      name: 'Long bed',
      kind: 'raised',
      lengthM: 2,
      widthM: 1,
    })
    await tell(garden.hub, 'PUT', 'gardens/home/nodes/wren', { name: 'Wren' })
    for (const [step, ready] of [
      ['place', 'form[aria-label="The garden"]'],
      ['bed', 'form[aria-label="A new bed"]'],
      ['crop', 'form[aria-label="A new planting"]'],
      ['node', 'form[aria-label="A first node"]'],
      ['reading', '.to-copy'],
    ] as const) {
      await page.goto(`${garden.hub.httpUrl}/begin/${step}`)
      await page.locator(ready).waitFor()
      // before anything is unfolded, which moves what is below
      if (step !== 'reading') expect(await layoutShift(page), step).toBeLessThan(0.02)
      await page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
      await expectSound(page)
    }
    expect(complaints).toEqual([])
  })
})

describeInBrowser('the beginning behind closed doors', ({ visit }) => {
  let closed: ClosedHub
  const clients: MqttClient[] = []
  beforeEach(async () => {
    closed = await closedHub()
    const owner = await closed.owner()
    await owner.ask('PUT', 'gardens/home', GARDEN)
    await owner.ask('PUT', 'gardens/home/beds/long', {
      name: 'Long bed',
      kind: 'raised',
      lengthM: 2,
      widthM: 1,
    })
  })
  afterEach(async () => {
    await Promise.all(clients.splice(0).map((client) => client.endAsync(true)))
    await closed.close()
  })

  async function signIn(path: string): Promise<Page> {
    const { page } = await visit(closed.hub.httpUrl + path)
    await page.getByLabel('Passphrase', { exact: true }).fill(PASSPHRASE)
    await page.getByRole('button', { name: 'Open the almanac' }).click()
    return page
  }

  test('gives a node its password once, tells of wrong ones, and lets the right one in', async () => {
    const page = await signIn('/begin/node')
    await form(page, 'A first node').getByLabel('Name of the node').fill('Wren')
    await page.getByRole('button', { name: 'Make it known' }).click()
    const settings = page.getByRole('region', { name: 'Type this into the node' })
    const password =
      (await settings
        .getByRole('row', { name: /^password/ })
        .locator('code')
        .textContent()) ?? ''
    expect(password.length).toBeGreaterThan(15)
    expect(
      await settings
        .getByRole('row', { name: /^user name/ })
        .locator('code')
        .textContent(),
    ).toBe('home/wren')

    await expect(connectNode(closed, 'home/wren', 'not-it')).rejects.toThrow()
    await page.getByText('One try with a wrong password').waitFor()
    await expect(connectNode(closed, 'home/wern', password)).rejects.toThrow()
    await page.getByText('“home/wern”').waitFor()

    // nowhere but on the page itself
    expect(await page.evaluate('JSON.stringify({ ...sessionStorage, ...localStorage })')).not.toContain(
      password,
    )
    const client = await connectAsync(closed.hub.mqttUrl, {
      username: 'home/wren',
      password,
      reconnectPeriod: 0,
    })
    clients.push(client)
    await client.publishAsync('gardens/home/nodes/wren/readings', '[{"n":"soil-temp","u":"Cel","v":9.5}]', {
      qos: 1,
    })
    await page.getByRole('heading', { name: 'The first reading has arrived' }).waitFor()

    await page.reload()
    await page.getByRole('button', { name: 'Make another password' }).click()
    const second =
      (await settings
        .getByRole('row', { name: /^password/ })
        .locator('code')
        .textContent()) ?? ''
    expect(second).not.toBe(password)
    expect(await settings.locator('pre').last().textContent()).toContain(`-P ${second}`)
  })

  test('asks nothing of a helper who may only look', async () => {
    const owner = await closed.owner()
    const { body } = await owner.ask('POST', 'access/links', { name: 'Rowan', days: 1 })
    const { page } = await visit(`${closed.hub.httpUrl}/look#${body.secret}`)
    await page.getByRole('link', { name: 'Garden', exact: true }).waitFor()
    await page.goto(`${closed.hub.httpUrl}/begin/bed`)
    await page.getByText('This almanac is begun by its owner').waitFor()
    expect(await page.locator('form').count()).toBe(0)
    const refused = await page.evaluate(
      "fetch('/api/v1/gardens/home/nodes/wren/connection').then((answer) => answer.status)",
    )
    expect(refused).toBe(403)
  })
})
