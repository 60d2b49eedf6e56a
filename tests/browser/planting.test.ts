/** A planting's page before a real hub: its curves, what was seen, its numbers, its forecast and its warnings. */
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { Config } from '../../hub/config.js'
import { type Hub, startHub } from '../../hub/main.js'
import { ask, publish, silent } from '../hub/hub-fixture.js'
import { describeInBrowser } from './chromium.js'
import { filledHub, type GardenOnHub, tell } from './garden-fixture.js'
import { inkAlong, layoutShift } from './in-page.js'

const MINUTE_MS = 60_000

async function plant(garden: GardenOnHub, bed: string, crop: string): Promise<string> {
  const input = {
    bed,
    crop,
    variety: null,
    sownOn: null,
    plantedOutOn: '2027-03-25',
    plants: 6,
    spacingM: 0.4,
  }
  const answer = await ask(garden.hub, 'POST', 'gardens/home/plantings', { ...input, finishedOn: null })
  return z.object({ id: z.string() }).parse(answer.body).id
}

describeInBrowser('the page of a planting', ({ visit }) => {
  let garden: GardenOnHub
  let cabbage = ''

  beforeAll(async () => {
    garden = await filledHub()
    cabbage = await plant(garden, 'quince', 'cabbage-early')
    await tell(garden.hub, 'PUT', 'gardens/home/normals', {
      minC: [-1, -1, 1, 4, 8, 11, 14, 14, 11, 7, 4, 1],
      maxC: [3, 3, 6, 11, 16, 19, 22, 22, 18, 12, 7, 4],
    })
  })
  afterAll(() => garden.close())

  const address = (id = cabbage): string => `${garden.hub.httpUrl}/plantings/${id}`

  test('is reached from Today, and says where the planting stands', async () => {
    const { page } = await visit(garden.hub.httpUrl)
    await page.getByRole('link', { name: 'Cabbage, early' }).click()
    await page.getByRole('heading', { name: 'Cabbage, early' }).waitFor()
    expect(await page.title()).toBe('Cabbage, early · Quince Court')
    expect(await page.locator('.say').textContent()).toMatch(
      /^Growing leaves since Thu 25 Mar\. Next: head forming, about \w+ \d+ \w+ \(eight times in ten between/,
    )
  })

  test('draws what was measured to the left of today and what is to come to the right', async () => {
    const { page } = await visit(address(), { width: 1000 })
    const growth = page.locator('.day-chart canvas').first()
    await growth.waitFor()
    // four days of some eighty are behind: the thin beginning, the long dashes after it
    await expect.poll(async () => (await inkAlong(growth, '--line-other', 8)).every((n) => n > 0)).toBe(true)
    const envelope = page.locator('.day-chart canvas').nth(1)
    expect((await inkAlong(envelope, '--line-air', 2)).every((n) => n > 0)).toBe(true)
    await page.getByText('Its stages in figures').click()
    await page.getByRole('row', { name: /^ready to cut 49 .* about \d+ \w+ 2027 .* to / }).waitFor()
  })

  test('reads a day by arrow keys, past and to come', async () => {
    const { page } = await visit(address())
    await page.locator('.day-chart canvas').first().waitFor()
    await page.locator('.day-chart .chart-focus').first().focus()
    await page.keyboard.press('ArrowLeft')
    const readout = page.locator('[data-readout="Degree days"]')
    await expect.poll(() => readout.textContent()).toMatch(/^Sun 28 Mar: \d+(\.\d)?\u00a0°C·d\.$/)
    await page.keyboard.press('ArrowRight')
    await expect.poll(() => readout.textContent()).toMatch(/^Mon 29 Mar: about .* \(eight times in ten/)
    await page.locator('.day-chart .chart-focus').nth(1).focus()
    await page.keyboard.press('ArrowLeft')
    await page.keyboard.press('ArrowLeft')
    await expect
      .poll(() => page.locator('[data-readout="Air temperature, day by day"]').textContent())
      .toMatch(/^Sat 27 Mar: 4\.0 to 14\.0\u00a0°C, mean \d/)
  })

  test('takes what was seen with one tap, sets the stages by it, and takes it back', async () => {
    const { page } = await visit(address())
    const seen = page.getByRole('region', { name: 'What was done and seen' })
    await seen.getByRole('button', { name: 'heads form' }).click()
    await seen.getByRole('row', { name: '28 Mar 2027 Heads had started.' }).waitFor()
    await seen.getByText('Noted: heads form, 28 Mar 2027.').waitFor()
    await page.locator('.say', { hasText: /^Head forming since Sun 28 Mar\./ }).waitFor()
    expect(await page.locator('.say').textContent()).toMatch(/set right by what you saw on 28\sMar\./)
    expect(await seen.getByRole('button', { name: 'heads form' }).count()).toBe(0)
    await seen.getByRole('button', { name: 'Undo' }).click()
    await seen.getByRole('button', { name: 'heads form' }).waitFor()
    await page.locator('.say', { hasText: /^Growing leaves since/ }).waitFor()
  })

  test('shows its journal in short, and leads to all of it', async () => {
    for (let day = 26; day <= 27; day++) {
      await tell(garden.hub, 'POST', 'gardens/home/journal', {
        id: `weeded-on-the-${day}`,
        kind: 'weeded',
        on: `2027-03-${day}`,
        planting: cabbage,
        note: day === 27 ? 'chickweed' : null,
      })
    }
    const { page } = await visit(address(), { width: 360 })
    const lines = page.getByRole('region', { name: 'What was done and seen' })
    await lines.getByRole('row', { name: '27 Mar 2027 Weeded. chickweed' }).waitFor()
    expect((await lines.getByRole('row').allTextContents())[1]).toBe('26 Mar 2027Weeded.')
    await lines.getByRole('link', { name: /its journal/ }).click()
    await page.getByRole('heading', { name: 'Journal' }).waitFor()
    expect(new URL(page.url()).searchParams.get('planting')).toBe(cabbage)
  })

  test('says at once what the hub will not note, and keeps nothing of it', async () => {
    const { page } = await visit(address())
    const seen = page.getByRole('region', { name: 'What was done and seen' })
    await seen.getByLabel('seen on').fill('2027-03-24')
    await seen.getByRole('button', { name: 'bolted' }).waitFor()
    await seen.getByRole('button', { name: 'heads form' }).click()
    await seen
      .getByRole('alert')
      .getByText(/before planting out: that was on 25\sMar\. Check both dates/)
      .waitFor()
    expect(await seen.getByText('Heads had started.').count()).toBe(0)
  })

  test('puts the grower’s number in place of the library’s, shows it as theirs, and minds nonsense', async () => {
    const { page } = await visit(address())
    await page.getByText('Put your own in their place').click()
    const form = page.getByRole('form', { name: 'Numbers of Cabbage, early' })
    const ready = form.getByLabel('degree days until ready, °C·d')
    await ready.fill('7')
    await form.getByRole('button', { name: 'Save the numbers' }).click()
    await form.getByText('from 20 to 6000, not 7').waitFor()
    await ready.fill('900')
    await form.getByRole('button', { name: 'Save the numbers' }).click()
    await form.getByText(/yours; the library has \d+/).waitFor()
    await page.getByText('Some are your own.').waitFor()
    await page.getByText('Every number and its source').click()
    await page.getByRole('row', { name: /to ready 900.°C·d yours/ }).waitFor()
    await form.getByRole('button', { name: 'Remove' }).click()
    await form.getByRole('button', { name: 'Yes, remove' }).click()
    await page.getByText('All are the library’s.').waitFor()
    expect(await ready.inputValue()).toBe('')
  })

  test('says whose forecast it is, and shows its days as a table', async () => {
    const atMs = garden.now()
    await tell(garden.hub, 'PUT', 'gardens/home/forecast', {
      source: 'Ridge station',
      points: Array.from({ length: 90 }, (_, hour) => ({
        time: new Date(atMs + hour * 60 * MINUTE_MS).toISOString(),
        airTempC: 9 + 5 * Math.cos((hour / 24) * 2 * Math.PI),
      })),
    })
    const { page } = await visit(address())
    await page.locator('.forecast-source').getByText('Ridge station').waitFor()
    const tomorrow = page.getByRole('region', { name: 'The next days in figures' }).getByRole('row').nth(2)
    expect(await tomorrow.textContent()).toMatch(/^Mon 29 Mar\d+\.\d/)
  })

  test('keeps everything where it is while it loads', async () => {
    const { page } = await visit(address(), { width: 360, height: 800 })
    await page.locator('.day-chart canvas').first().waitFor()
    expect(await layoutShift(page)).toBeLessThan(0.02)
  })

  test('says so where there is no such planting', async () => {
    const { page } = await visit(address('none'))
    await page.getByRole('heading', { name: 'No such planting' }).waitFor()
  })
})

describeInBrowser('the warnings of a planting', ({ visit }) => {
  test('stand with their reason, can be muted by kind, and are kept once they are over', async () => {
    const garden = await filledHub()
    await tell(garden.hub, 'PUT', 'gardens/home/nodes/lark', { name: 'Lark' })
    await tell(garden.hub, 'POST', 'gardens/home/placements', {
      node: 'lark',
      bed: 'gate',
      from: new Date(garden.now() - 120 * MINUTE_MS).toISOString(),
    })
    const lettuce = await plant(garden, 'gate', 'lettuce-head')
    for (let minutes = 90; minutes >= 0; minutes -= 5)
      await publish(garden.client, 'lark', garden.now() - minutes * MINUTE_MS, {
        'air-temp': -4 - (90 - minutes) / 60,
      })
    await garden.client.endAsync(true)
    await garden.hub.close()

    // a hub that starts looks at once for what to warn of
    const startAt = (laterMs: number): Promise<Hub> =>
      startHub(Config.parse({ dataDir: garden.dataDir, httpPort: 0, mqttPort: 0 }), {
        log: silent,
        now: () => garden.now() + laterMs,
        doors: 'open',
      })
    const second = await startAt(0)
    const { page } = await visit(`${second.httpUrl}/plantings/${lettuce}`)
    const frost = page.getByRole('region', { name: 'Warnings' }).locator('[data-kind=frost]')
    await frost.waitFor({ timeout: 30_000 })
    expect(await frost.textContent()).toMatch(/Frost in By the gate.*air was at .5\.5.°C/)
    await page.getByText('Which warnings to hear of this planting').click()
    await page.getByRole('checkbox', { name: 'frost' }).uncheck()
    await page.getByText('Not to be heard of this planting: frost').waitFor()
    const { body } = await ask(second, 'GET', `gardens/home/plantings/${lettuce}/mutes`)
    expect(body).toEqual({ kinds: ['frost'] })
    await second.close()

    const third = await startAt(2 * 24 * 60 * MINUTE_MS)
    const later = await visit(`${third.httpUrl}/plantings/${lettuce}`)
    await later.page.getByText('One warning that is over').click()
    await later.page.getByText(/Sun 28 Mar 14:\d\d to Tue 30 Mar/).waitFor()
    await later.page.getByText('None stands.').waitFor()
    await third.close()
  })
})
