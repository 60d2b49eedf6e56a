/** A garden with cabbages to write about, and ways to look at its journal from outside the page. */
import type { Page } from 'playwright-core'
import { expect } from 'vitest'
import { z } from 'zod'
import { Config } from '../../hub/config.js'
import { type Hub, startHub } from '../../hub/main.js'
import { JournalEntry } from '../../shared/api/journal.js'
import { ask, newDataDir, silent } from '../hub/hub-fixture.js'
import { fixtureClock, tell, ZONE } from './garden-fixture.js'

/** The hub's date. */
export const TODAY = '2027-03-28'

export interface JournalGarden {
  /** where the page is; the same after a restart */
  readonly url: string
  readonly hub: () => Hub
  readonly cabbage: string
  /** what the hub has, oldest first */
  written(): Promise<JournalEntry[]>
  /** The hub goes away, and comes back at the same address. */
  stop(): Promise<void>
  start(): Promise<void>
  close(): Promise<void>
}

export async function journalGarden(): Promise<JournalGarden> {
  const folder = await newDataDir()
  const now = fixtureClock()
  let httpPort = 0
  const startAgain = (): Promise<Hub> =>
    startHub(Config.parse({ dataDir: folder.dataDir, httpPort, mqttPort: 0 }), {
      log: silent,
      doors: 'open',
      checkReplies: true,
      now,
    })
  let hub = await startAgain()
  let isRunning = true
  httpPort = Number(new URL(hub.httpUrl).port)
  await tell(hub, 'PUT', 'gardens/home', {
    name: 'Quince Court',
    latitudeDeg: 55.7,
    longitudeDeg: 12.5,
    timeZone: ZONE,
  })
  const bed = { kind: 'raised', lengthM: 2.4, widthM: 1.2, depthM: 0.4 }
  await tell(hub, 'PUT', 'gardens/home/beds/gate', { ...bed, name: 'By the gate' })
  const planted = await ask(hub, 'POST', 'gardens/home/plantings', {
    bed: 'gate',
    crop: 'cabbage-early',
    variety: 'Lantern',
    sownOn: '2027-01-20',
    plantedOutOn: '2027-03-10',
    plants: 9,
    spacingM: 0.4,
    finishedOn: null,
  })
  const cabbage = z.object({ id: z.string() }).parse(planted.body).id
  return {
    url: hub.httpUrl,
    hub: () => hub,
    cabbage,
    written: async () => z.array(JournalEntry).parse((await ask(hub, 'GET', 'gardens/home/journal')).body),
    async stop() {
      isRunning = false
      await hub.close()
    },
    async start() {
      hub = await startAgain()
      isRunning = true
    },
    async close() {
      if (isRunning) await hub.close()
      await folder.remove()
    },
  }
}

/** A picture as a camera gives it, larger than is kept. */
export async function largePicture(page: Page): Promise<Buffer> {
  const address = z.string().parse(
    await page.evaluate(`(() => {
      const canvas = document.createElement('canvas')
      canvas.width = 2400
      canvas.height = 1200
      const context = canvas.getContext('2d')
      context.fillStyle = '#4c6a29'
      context.fillRect(0, 0, 2400, 1200)
      return canvas.toDataURL('image/png')
    })()`),
  )
  return Buffer.from(address.split(',')[1] ?? '', 'base64')
}

/** Asserts what is to come true: the page, the outbox and the hub take their time. */
export const eventually = <T>(look: () => T) => expect.poll(look, { timeout: 20_000 })
