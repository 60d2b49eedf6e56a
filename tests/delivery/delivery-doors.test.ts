/** Recipients and the webhook are the owner's; what a warning says is for everybody who may look. */
import { afterEach, beforeEach, expect, it } from 'vitest'
import { type ClosedHub, closedHub } from '../doors/closed-hub.js'

const HOME = { name: 'Plot', latitudeDeg: 55.7, longitudeDeg: 12.5, timeZone: 'Europe/Copenhagen' }
let closed: ClosedHub
beforeEach(async () => {
  closed = await closedHub()
})
afterEach(() => closed.close())

it('a helper may follow the feed, but neither see nor change who is told', async () => {
  const owner = await closed.owner()
  await owner.ask('PUT', 'gardens/home', HOME)
  const { body: link } = await owner.ask('POST', 'access/links', { name: 'Ida', days: 30 })
  const helper = closed.browser()
  await helper.ask('POST', 'access/look', { secret: link.secret })
  const owners: [string, string, unknown?][] = [
    ['GET', 'gardens/home/delivery'],
    ['GET', 'gardens/home/delivery/outbox'],
    ['PUT', 'gardens/home/delivery', { mailTo: ['ida@example.org'] }],
    ['POST', 'gardens/home/delivery/test', { channel: 'mail' }],
  ]
  for (const [method, path, body] of owners) {
    expect([path, await helper.status(method, path, body)]).toEqual([path, 403])
    expect([path, await owner.status(method, path, body)]).toEqual([path, 200])
    expect([path, await closed.browser().status(method, path, body)]).toEqual([path, 401])
  }
  const feed = 'gardens/home/warnings.atom'
  expect(await helper.status('GET', feed)).toBe(200)
  expect(await closed.browser().status('GET', feed)).toBe(401)
  expect(await helper.status('GET', 'gardens/home/warnings/none/cap.xml')).toBe(404)
})
