/** Telling the hub about a garden, from the first visit on: forms, their faults, and that typing is never lost. */
import type { Locator, Page } from 'playwright-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { ask } from '../hub/hub-fixture.js'
import { describeInBrowser } from './chromium.js'
import { emptyHub, type GardenOnHub, publish, tell, ZONE } from './garden-fixture.js'

const form = (page: Page, name: string): Locator => page.getByRole('form', { name, exact: true })

async function open(page: Page, summary: string): Promise<void> {
  const details = page.locator('details', { has: page.locator('summary', { hasText: summary }) }).last()
  if ((await details.getAttribute('open')) === null) await details.locator('summary').first().click()
}

describeInBrowser('the Garden page', ({ visit }) => {
  let garden: GardenOnHub
  beforeEach(async () => {
    garden = await emptyHub()
  })
  afterEach(() => garden.close())

  const setUp = (): Promise<void> =>
    tell(garden.hub, 'PUT', 'gardens/home', {
      name: 'Quince Court',
      latitudeDeg: 55.7,
      longitudeDeg: 12.5,
      elevationM: 0,
      timeZone: ZONE,
    })

  const addBed = (): Promise<void> =>
    tell(garden.hub, 'PUT', 'gardens/home/beds/quince', {
      name: 'Under the quince',
      kind: 'raised',
      lengthM: 2.4,
      widthM: 1.2,
      depthM: null,
    })

  test('greets a first visit and begins the almanac', async () => {
    const { page } = await visit(garden.hub.httpUrl, { timeZone: ZONE })
    await page.getByRole('heading', { name: 'Welcome' }).waitFor()
    const entry = form(page, 'The garden')
    expect(await entry.getByLabel('Time zone').inputValue()).toBe(ZONE)
    await entry.getByLabel('Name of the garden').fill('Quince Court')
    await entry.getByLabel('Latitude').fill('55,7 N')
    await entry.getByLabel('Longitude').fill('12.5')
    await entry.getByRole('button', { name: 'Begin the almanac' }).click()
    await page.getByRole('heading', { name: 'Quince Court' }).waitFor()
    // … and leads on to the first bed
    await form(page, 'A new bed').waitFor()
    expect(new URL(page.url()).pathname).toBe('/begin/bed')
    expect((await ask(garden.hub, 'GET', 'gardens/home')).body).toMatchObject({
      name: 'Quince Court',
      latitudeDeg: 55.7,
      timeZone: ZONE,
    })
  })

  test('shows the hub’s objections at their fields, moves there, and keeps what was typed', async () => {
    const { page } = await visit(garden.hub.httpUrl)
    const entry = form(page, 'The garden')
    await entry.getByLabel('Name of the garden').fill('Quince Court')
    await entry.getByLabel('Latitude').fill('155')
    await entry.getByLabel('Longitude').fill('12.5')
    await entry.getByLabel('Time zone').fill('Europe/Atlantis')
    await entry.getByLabel('Elevation').fill('99000')
    await entry.getByRole('button', { name: 'Begin the almanac' }).click()
    await entry.getByText('goes from −90 to 90').waitFor()
    const latitude = entry.getByLabel('Latitude')
    expect(await latitude.getAttribute('aria-invalid')).toBe('true')
    await expect.poll(() => page.evaluate('document.activeElement.name')).toBe('latitudeDeg')
    expect(await latitude.inputValue()).toBe('155')

    await latitude.fill('-55')
    await entry.getByRole('button', { name: 'Begin the almanac' }).click()
    await entry.getByText('use an IANA time zone').waitFor()
    await entry.getByText('must be at most 6000').waitFor()
    await expect.poll(() => page.evaluate('document.activeElement.name')).toBe('timeZone')
    expect(await entry.getByLabel('Elevation').inputValue()).toBe('99000')

    await entry.getByLabel('Elevation').fill('99')
    await entry.getByLabel('Time zone').fill('Europe/Copenhagen')
    await entry.getByRole('button', { name: 'Begin the almanac' }).click()
    await page.getByRole('heading', { name: 'Quince Court' }).waitFor()
  })

  test('objects to what is no number before it goes anywhere', async () => {
    await setUp()
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    const entry = form(page, 'A new bed')
    await entry.getByLabel('Name of the bed').fill('Long one')
    await entry.getByLabel('Length, m').fill('two')
    await entry.getByLabel('Width, m').fill('1,2')
    await entry.getByRole('button', { name: 'Add the bed' }).click()
    await entry.getByText('write a length, e.g. 1.2').waitFor()
    expect((await ask(garden.hub, 'GET', 'gardens/home/beds')).body).toEqual([])
  })

  test('keeps half-filled forms over a reload, another page, and news from elsewhere', async () => {
    await setUp()
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    const name = form(page, 'A new bed').getByLabel('Name of the bed')
    await name.fill('By the water b')
    // somebody else changes the garden while this is being typed
    await tell(garden.hub, 'PUT', 'gardens/home', {
      name: 'Quince Yard',
      latitudeDeg: 55.7,
      longitudeDeg: 12.5,
      elevationM: 0,
      timeZone: ZONE,
    })
    await page.getByRole('heading', { name: 'Quince Yard' }).waitFor()
    expect(await name.inputValue()).toBe('By the water b')
    await page.getByRole('link', { name: 'Nodes' }).click()
    await page.getByRole('heading', { name: 'Nodes', exact: true }).waitFor()
    await page.goBack()
    expect(await name.inputValue()).toBe('By the water b')
    await page.reload()
    expect(await name.inputValue()).toBe('By the water b')
  })

  test('adds a bed, changes it, and says why it cannot go', async () => {
    await setUp()
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    const entry = form(page, 'A new bed')
    await entry.getByLabel('Name of the bed').fill('Bænk ved døren')
    await entry.getByLabel('Kind').selectOption('container')
    await entry.getByLabel('Length, m').fill('0.6')
    await entry.getByLabel('Width, m').fill('0.4')
    await entry.getByRole('button', { name: 'Add the bed' }).click()
    await page.getByText('Bænk ved døren', { exact: true }).first().waitFor()
    const { body } = await ask(garden.hub, 'GET', 'gardens/home/beds')
    expect(body).toMatchObject([{ id: 'baenk-ved-doren', kind: 'container', lengthM: 0.6, depthM: null }])

    await publish(garden.client, 'wren', garden.now(), { 'air-temp': 10 })
    await tell(garden.hub, 'PUT', 'gardens/home/nodes/wren', { name: 'Wren' })
    await tell(garden.hub, 'POST', 'gardens/home/placements', {
      node: 'wren',
      bed: 'baenk-ved-doren',
      from: new Date(garden.now() - 1000).toISOString(),
    })
    await open(page, 'Bænk ved døren, container')
    const change = form(page, 'Bed Bænk ved døren')
    await change.getByRole('button', { name: 'Remove' }).click()
    await change.getByRole('button', { name: 'Yes, remove' }).click()
    await change.getByText('placement').waitFor()
  })

  test('puts a node into a bed, then moves it, and its time in each is kept', async () => {
    await setUp()
    await addBed()
    await tell(garden.hub, 'PUT', 'gardens/home/beds/gate', {
      name: 'By the gate',
      kind: 'ground',
      lengthM: 4,
      widthM: 1,
      depthM: null,
    })
    await publish(garden.client, 'wren', garden.now(), { 'air-temp': 10 })
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    await open(page, 'wren')
    const place = form(page, 'Where wren stands')
    await place.getByLabel('Stands in').selectOption('quince')
    await place.getByLabel('Name of the node').fill('Wren')
    await place.getByLabel('Since').fill('2027-03-28T09:00')
    await place.getByRole('button', { name: 'Put it there' }).click()
    await page.getByText('in Under the quince since 28 Mar 2027, 9:00').waitFor()

    const again = form(page, 'Where Wren stands')
    await open(page, 'Wren')
    await again.getByLabel('Stands in').selectOption('gate')
    await again.getByLabel('Since').fill('2027-03-28T12:00')
    await again.getByRole('button', { name: 'Move it' }).click()
    await page.getByText('in By the gate since 28 Mar 2027, 12:00').waitFor()
    const { body } = await ask(garden.hub, 'GET', 'gardens/home/placements')
    expect(body).toHaveLength(2)
    expect(body).toContainEqual(
      expect.objectContaining({
        bed: 'quince',
        from: '2027-03-28T09:00:00+02:00',
        to: '2027-03-28T12:00:00+02:00',
      }),
    )
  })

  test('proposes the crop’s usual spacing for a planting', async () => {
    await setUp()
    await addBed()
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    const entry = form(page, 'A new planting')
    const crops = (await ask(garden.hub, 'GET', 'crops')).body
    await entry.getByLabel('Crop').selectOption(crops[0].id)
    expect(await entry.getByLabel('Plant to plant, cm').inputValue()).toBe(
      String(Math.round(crops[0].spacingM * 100)),
    )
    await entry.getByLabel('How many plants').fill('9')
    await entry.getByRole('button', { name: 'Add the planting' }).click()
    await page.getByText(`${crops[0].name}`, { exact: true }).first().waitFor()
    await expect
      .poll(async () => (await ask(garden.hub, 'GET', 'gardens/home/plantings')).body)
      .toMatchObject([{ bed: 'quince', crop: crops[0].id, plants: 9, plantedOutOn: '2027-03-28' }])
  })

  test('keeps what was typed when the hub is out of reach', async () => {
    await setUp()
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    const entry = form(page, 'A new bed')
    await entry.getByLabel('Name of the bed').fill('Far bed')
    await entry.getByLabel('Length, m').fill('2')
    await entry.getByLabel('Width, m').fill('1')
    await page.route('**/beds/far-bed', (route) => route.abort())
    await entry.getByRole('button', { name: 'Add the bed' }).click()
    await entry.getByText('The hub does not answer. What you typed is still here.').waitFor()
    await page.unroute('**/beds/far-bed')
    await entry.getByRole('button', { name: 'Add the bed' }).click()
    await page.getByText('Far bed', { exact: true }).first().waitFor()
  })
})

describeInBrowser('the Nodes page', ({ visit }) => {
  let garden: GardenOnHub
  beforeEach(async () => {
    garden = await emptyHub()
  })
  afterEach(() => garden.close())

  test('shows a node that nobody has named, also before the garden is set up, and names it later', async () => {
    await publish(garden.client, 'wren', garden.now(), { 'air-temp': 10.4, 'leaf-wetness': 0.5 })
    const { page } = await visit(`${garden.hub.httpUrl}/nodes`)
    const entry = page.locator('[data-node=wren]')
    await entry.getByText('Nobody has named this node yet.').waitFor()
    expect(await entry.textContent()).toContain('10.4\u00a0°C')
    expect(await entry.textContent()).toContain('leaf wetness')
    expect(await entry.textContent()).toContain('gardens/home/nodes/wren/readings')
  })

  test('takes the usual temperatures by the month, and minds a month upside down', async () => {
    await tell(garden.hub, 'PUT', 'gardens/home', {
      name: 'Quince Court',
      latitudeDeg: 55.7,
      longitudeDeg: 12.5,
      elevationM: 0,
      timeZone: ZONE,
    })
    const { page } = await visit(`${garden.hub.httpUrl}/garden`)
    await page.getByText('Type them in').click()
    const form = page.getByRole('form', { name: 'Usual temperatures' })
    await expect.poll(() => form.locator('input[name^=maxC]').count()).toBe(12)
    for (const input of await form.locator('input[name^=minC]').all()) await input.fill('−1,5')
    for (const input of await form.locator('input[name^=maxC]').all()) await input.fill('12')
    await form.getByLabel('May, highest, °C').fill('-3')
    await form.getByRole('button', { name: 'Save the temperatures' }).click()
    await form.getByText('the lowest lies above the highest').waitFor()
    await form.locator('input[name="minC.4"]:focus').waitFor()
    await form.getByLabel('May, highest, °C').fill('16.4')
    await form.getByRole('button', { name: 'Save the temperatures' }).click()
    await form.getByText('Saved.').waitFor()
    const { body } = await ask(garden.hub, 'GET', 'gardens/home/normals')
    expect(body).toMatchObject({ normals: { minC: Array(12).fill(-1.5), source: null } })
    await page.getByLabel('°F').check()
    expect(await form.getByLabel('May, highest, °F').inputValue()).toBe('61.5')
    await form.getByRole('button', { name: 'Save the temperatures' }).click()
    await form.getByText('Saved.').waitFor()
  })

  test('names a node, and tells what was refused and why', async () => {
    await tell(garden.hub, 'PUT', 'gardens/home', {
      name: 'Quince Court',
      latitudeDeg: 55.7,
      longitudeDeg: 12.5,
      elevationM: 0,
      timeZone: ZONE,
    })
    await publish(garden.client, 'wren', garden.now(), { 'air-temp': 85 })
    await garden.client.publishAsync('gardens/home/nodes/wren/readings', '[{"n":"air-temp","v":', { qos: 1 })
    const { page } = await visit(`${garden.hub.httpUrl}/nodes`)
    const entry = page.locator('[data-node=wren]')
    await entry.getByText('One pack was refused').waitFor()
    expect(await entry.textContent()).toContain('1 × not readable as JSON')
    expect(await entry.locator('.refusals pre').textContent()).toBe('[{"n":"air-temp","v":')
    expect(await entry.textContent()).toContain('own sign for “no reading”')
    await garden.client.publishAsync('gardens/home/sensors/wren', '[]', { qos: 1 })
    await page.reload()
    const strays = page.getByRole('region', { name: 'Stray packs' })
    await strays.getByText('One stray pack was refused').waitFor()
    await entry.getByLabel('Name', { exact: true }).fill('Wren on the post')
    await entry.getByRole('button', { name: 'Name it' }).click()
    await page.getByRole('heading', { name: 'Wren on the post' }).waitFor()
  })
})
