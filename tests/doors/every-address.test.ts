/** Every address of the API, as its own description lists them: who is let in, and who is not, whatever is added later. */
import { afterAll, beforeAll, expect, it } from 'vitest'
import { type Browser, type ClosedHub, closedHub } from './closed-hub.js'

const HOME = { name: 'Plot', latitudeDeg: 55.7, longitudeDeg: 12.5, timeZone: 'Europe/Copenhagen' }
/** for strangers: health, what the front door needs, and what explains answers */
const OPEN = [
  'GET /healthz',
  'GET /readyz',
  'GET /api/v1/access',
  'POST /api/v1/access/set-up',
  'POST /api/v1/access/sign-in',
  'POST /api/v1/access/look',
  'POST /api/v1/access/sign-out',
  'GET /api/v1/problems',
  'GET /api/v1/problems/{problem}',
]
/** what names people, opens the hub, or tells who tried to come in */
const OWNERS =
  /\/access\/(passphrase|sessions|links)|\/node-credentials|\/credential$|\/connection$|\/delivery|\/calendar-links/

let closed: ClosedHub
let owner: Browser
let addresses: { method: string; path: string; url: string }[] = []
beforeAll(async () => {
  closed = await closedHub()
  owner = await closed.owner()
  await owner.ask('PUT', 'gardens/home', HOME)
  const { body } = await owner.ask('GET', 'openapi.json')
  addresses = Object.entries(body.paths as Record<string, object>).flatMap(([path, operations]) =>
    Object.keys(operations).map((method) => ({
      method: method.toUpperCase(),
      path,
      url: path.replace('{garden}', 'home').replaceAll(/\{\w+\}/g, 'something'),
    })),
  )
  expect(addresses.length).toBeGreaterThan(90)
})
afterAll(() => closed.close())

const nameOf = ({ method, path }: { method: string; path: string }): string => `${method} ${path}`
const changing = () => addresses.filter((one) => one.method !== 'GET' && !OPEN.includes(nameOf(one)))

it('lets strangers in nowhere but at the door', async () => {
  const stranger = closed.browser()
  for (const one of addresses.filter((address) => !OPEN.includes(nameOf(address)))) {
    const { status, body } = await stranger.ask(one.method, one.url)
    expect([nameOf(one), status, body.code]).toEqual([nameOf(one), 401, 'SIGN_IN_FIRST'])
  }
})

it('lets helpers with a link change nothing, nor see what is the owner’s', async () => {
  const { secret } = (await owner.ask('POST', 'access/links', { name: 'Ida', days: 3 })).body
  const helper = closed.browser()
  await helper.ask('POST', 'access/look', { secret })
  for (const one of [...changing(), ...addresses.filter(({ path }) => OWNERS.test(path))]) {
    const { status, body } = await helper.ask(one.method, one.url)
    const code = OWNERS.test(one.path) ? 'OWNER_ONLY' : 'READ_ONLY'
    expect([nameOf(one), status, body.code]).toEqual([nameOf(one), 403, code])
  }
})
