/** Coming in: the first owner, the passphrase, a helper's link, a node's password, and being shown out. */
import { connectAsync } from 'mqtt'
import type { Page } from 'playwright-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import type { Hub } from '../../hub/main.js'
import { newDataDir, startOn } from '../hub/hub-fixture.js'
import { describeInBrowser } from './chromium.js'
import { ZONE } from './garden-fixture.js'

const PASSPHRASE = 'seven wet slugs under one board'

describeInBrowser('the door', ({ visit }) => {
  let hub: Hub
  let code = ''
  let folder: Awaited<ReturnType<typeof newDataDir>>
  beforeEach(async () => {
    folder = await newDataDir()
    hub = await startOn(folder.dataDir, {
      doors: 'closed',
      onSetUpCode: (text) => {
        code = text
      },
    })
  })
  afterEach(async () => {
    await hub.close()
    await folder.remove()
  })

  /** The first visit: becomes the owner and sets the garden up. */
  async function becomeOwner(): Promise<Page> {
    const { page } = await visit(hub.httpUrl, { timeZone: ZONE })
    await page.getByRole('heading', { name: 'A new almanac' }).waitFor()
    await page.getByLabel('Set-up code').fill(code)
    await page.getByLabel('Passphrase', { exact: true }).fill(PASSPHRASE)
    await page.getByLabel('The same once more').fill(PASSPHRASE)
    await page.getByRole('button', { name: 'Choose this passphrase' }).click()
    await page.getByRole('heading', { name: 'Welcome' }).waitFor()
    return page
  }

  async function setUpGarden(page: Page): Promise<void> {
    await page.getByLabel('Name of the garden').fill('Quince Court')
    await page.getByLabel('Latitude').fill('55.7')
    await page.getByLabel('Longitude').fill('12.5')
    await page.getByRole('button', { name: 'Begin the almanac' }).click()
    await page.getByRole('heading', { name: 'Quince Court' }).waitFor()
  }

  test('makes whoever has the code the owner, and nobody else', async () => {
    const { page } = await visit(hub.httpUrl)
    await page.getByLabel('Set-up code').fill('WRONG-CODE')
    await page.getByLabel('Passphrase', { exact: true }).fill(PASSPHRASE)
    await page.getByLabel('The same once more').fill('something else')
    await page.getByRole('button', { name: 'Choose this passphrase' }).click()
    await page.getByText('this differs from the passphrase above').waitFor()
    await page.getByLabel('The same once more').fill(PASSPHRASE)
    await page.getByRole('button', { name: 'Choose this passphrase' }).click()
    await page.locator('form .problem').waitFor()
    await page.getByLabel('Set-up code').fill(code)
    await page.getByRole('button', { name: 'Choose this passphrase' }).click()
    await page.getByRole('heading', { name: 'Welcome' }).waitFor()
  })

  test('opens to the passphrase after signing out, and never writes it down', async () => {
    const page = await becomeOwner()
    await setUpGarden(page)
    await page.getByRole('button', { name: 'Sign out' }).click()
    await page.getByLabel('Passphrase', { exact: true }).fill('not it at all')
    await page.getByRole('button', { name: 'Open the almanac' }).click()
    await page.locator('form .problem').waitFor()
    await page.getByLabel('Passphrase', { exact: true }).fill(PASSPHRASE)
    expect(await page.evaluate('JSON.stringify({ ...sessionStorage, ...localStorage })')).not.toContain(
      PASSPHRASE,
    )
    await page.getByRole('button', { name: 'Open the almanac' }).click()
    await page.getByRole('heading', { name: 'Quince Court' }).waitFor()
  })

  test('shows whoever is signed out the door, wherever they are', async () => {
    const page = await becomeOwner()
    await setUpGarden(page)
    await page.getByRole('link', { name: 'Garden' }).click()
    await page.getByText('Where somebody is signed in').waitFor()
    await page.context().clearCookies()
    await page.getByRole('link', { name: 'Nodes' }).click()
    await page.getByRole('button', { name: 'Open the almanac' }).waitFor()
  })

  test('lets a helper look by a link, and change nothing', async () => {
    const page = await becomeOwner()
    await setUpGarden(page)
    await page.getByRole('link', { name: 'Garden' }).click()
    await page.getByText('Links for helpers').click()
    await page.getByLabel('For whom').fill('Aunt Mette')
    await page.getByRole('button', { name: 'Make a link' }).click()
    const address = (await page.locator('.told-once pre').textContent()) ?? ''

    const helper = await visit(address)
    await helper.page.getByRole('heading', { name: 'Quince Court' }).waitFor()
    expect(helper.page.url()).not.toContain('#')
    await helper.page.getByRole('link', { name: 'Garden' }).click()
    await helper.page.getByText('You may look at this garden').waitFor()
    expect(await helper.page.getByRole('button', { name: /Save|Add|Remove/ }).count()).toBe(0)

    const stranger = await visit(`${hub.httpUrl}/look#nonsense`)
    await stranger.page.getByText('This link does not open anything.').waitFor()
  })

  test('gives a node a password that works, until it is taken back', async () => {
    const page = await becomeOwner()
    await setUpGarden(page)
    await page.getByRole('link', { name: 'Nodes' }).click()
    await page.getByLabel('The node’s own name').fill('Wren')
    await page.getByRole('button', { name: 'Make its password' }).click()
    const told = page.locator('.told-once')
    const cell = async (name: string): Promise<string> =>
      (await told.getByRole('row', { name }).locator('code').textContent()) ?? ''
    const node = await connectAsync(hub.mqttUrl, {
      username: await cell('user name'),
      password: await cell('password'),
      reconnectPeriod: 0,
    })
    await node.publishAsync(await cell('topic'), '[{"n":"air-temp","u":"Cel","v":11.5}]', { qos: 1 })
    await page.locator('[data-node=wren]').getByText('11.5\u00a0°C').waitFor()

    const isCutOff = new Promise<void>((resolve) => node.once('close', () => resolve()))
    const item = page.locator('li', { has: page.getByText('wren', { exact: true }) })
    await item.getByRole('button', { name: 'Remove' }).click()
    await item.getByRole('button', { name: 'Yes, remove' }).click()
    await isCutOff
    await node.endAsync(true)
  })
})
