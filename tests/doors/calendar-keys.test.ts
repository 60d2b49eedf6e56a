/** Addresses of calendars: their keys open one file to be read, and nothing else; they end when taken back. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type Browser, type ClosedHub, closedHub } from './closed-hub.js'

const HOME = { name: 'Plot', latitudeDeg: 55.7, longitudeDeg: 12.5, timeZone: 'Europe/Copenhagen' }
const MINUTE_MS = 60_000

let closed: ClosedHub
let owner: Browser
beforeEach(async () => {
  closed = await closedHub()
  owner = await closed.owner()
  await owner.ask('PUT', 'gardens/home', HOME)
})
afterEach(() => closed.close())

const newLink = async (name = 'phone', garden = 'home') => {
  const { status, body } = await owner.ask('POST', `gardens/${garden}/calendar-links`, { name })
  if (status !== 201) throw new Error(JSON.stringify(body))
  return body as { id: string; name: string; path: string }
}
const keyOf = (path: string): string => new URL(path, 'http://hub').searchParams.get('key') ?? ''
/** a calendar program: no cookies, no headers of its own */
const status = (path: string): Promise<number> => closed.browser().status('GET', path)

describe('a calendar’s address', () => {
  it('opens the file for a program that cannot sign in', async () => {
    const { path } = await newLink()
    const answer = await closed.browser().ask('GET', path)
    expect(answer.status).toBe(200)
    expect(answer.headers.get('content-type')).toBe('text/calendar; charset=utf-8')
    expect(answer.body).toContain('BEGIN:VCALENDAR')
    expect(await status('/api/v1/gardens/home/calendar.ics')).toBe(401)
    expect(await owner.status('GET', 'gardens/home/calendar.ics')).toBe(200)
  })

  it('holds at least 128 random bits, never twice the same', async () => {
    const keys = [keyOf((await newLink('a')).path), keyOf((await newLink('b')).path)]
    for (const key of keys) expect(key).toMatch(/^[0-9a-hjkmnp-tv-z]{32}$/)
    expect(keys[0]).not.toBe(keys[1])
  })

  it('opens nothing else, and not the calendar of another garden', async () => {
    const key = keyOf((await newLink()).path)
    await owner.ask('PUT', 'gardens/plot-two', HOME)
    for (const path of [
      'gardens',
      'gardens/home',
      'gardens/home/tasks',
      'gardens/home/plantings',
      'gardens/home/calendar-links',
    ]) {
      expect(await status(`/api/v1/${path}?key=${key}`), path).toBe(401)
    }
    expect(await status(`/api/v1/gardens/plot-two/calendar.ics?key=${key}`)).toBe(403)
    expect(await status(`/api/v1/gardens/nowhere/calendar.ics?key=${key}`)).toBe(403)
    expect(
      await closed.browser().status('POST', `/api/v1/gardens/home/tasks/a.feed.1/done?key=${key}`, {}),
    ).toBe(401)
  })

  it('is kept as a digest only, and listed without its key', async () => {
    const { path, id } = await newLink('kitchen wall')
    const key = keyOf(path)
    const { body } = await owner.ask('GET', 'gardens/home/calendar-links')
    expect(body).toEqual([{ id, name: 'kitchen wall', createdAt: expect.any(String) }])
    await closed.hub.close()
    for (const file of ['garden.sqlite']) {
      expect(readFileSync(join(closed.dataDir, file)).includes(key), file).toBe(false)
    }
    await closed.restart()
    expect(await status(path)).toBe(200)
  })

  it('opens nothing once it is taken back', async () => {
    const link = await newLink()
    expect(await owner.status('DELETE', `gardens/home/calendar-links/${link.id}`)).toBe(204)
    const answer = await closed.browser().ask('GET', link.path)
    expect([answer.status, answer.body.code]).toEqual([403, 'WRONG_LINK'])
    expect(await owner.status('DELETE', `gardens/home/calendar-links/${link.id}`)).toBe(404)
  })

  it('is the owner’s to make, list and take back', async () => {
    const { secret } = (await owner.ask('POST', 'access/links', { name: 'Ida', days: 3 })).body
    const helper = closed.browser()
    await helper.ask('POST', 'access/look', { secret })
    // who may look at the garden may look at its calendar too
    expect(await helper.status('GET', 'gardens/home/calendar.ics')).toBe(200)
    const { id } = await newLink()
    const tries: [string, string, unknown?][] = [
      ['GET', 'gardens/home/calendar-links'],
      ['POST', 'gardens/home/calendar-links', { name: 'mine' }],
      ['DELETE', `gardens/home/calendar-links/${id}`],
    ]
    for (const [method, path, body] of tries) {
      expect([method, await helper.status(method, path, body)]).toEqual([method, 403])
      expect([method, await closed.browser().status(method, path, body)]).toEqual([method, 401])
    }
  })

  it('needs a name, and there are not many of them', async () => {
    const answer = await owner.ask('POST', 'gardens/home/calendar-links', { name: ' ' })
    expect([answer.status, answer.body.problems[0].field]).toEqual([400, 'name'])
    for (let i = 0; i < 50; i++) await newLink(`phone ${i}`)
    const more = await owner.ask('POST', 'gardens/home/calendar-links', { name: 'one more' })
    expect([more.status, more.body.code]).toEqual([409, 'TOO_MANY_SECRETS'])
  })

  it('is slow to guess, and a phone that goes on with an old one keeps nobody from signing in', async () => {
    const { path } = await newLink()
    const wrong = '/api/v1/gardens/home/calendar.ics?key=00000000000000000000000000000000'
    for (let i = 0; i < 5; i++) expect(await status(wrong)).toBe(403)
    const slowed = await closed.browser().ask('GET', wrong)
    expect([slowed.status, slowed.body.code]).toEqual([429, 'TOO_MANY_ATTEMPTS'])
    expect(Number(slowed.headers.get('retry-after'))).toBeGreaterThan(0)
    expect((await closed.owner()).cookie).not.toBeNull()
    closed.pass(MINUTE_MS)
    expect(await status(path)).toBe(200)
  })

  it('reaches no log, whatever becomes of the request', async () => {
    const { path } = await newLink()
    const key = keyOf(path)
    await status(path)
    await status(path.replace('home', 'elsewhere'))
    await status(`/api/v1/gardens/home/tasks?key=${key}`)
    await status(`${path}&more=1`)
    await closed.hub.close()
    // the hub is gone: what is asked now fails at the socket
    await closed.restart()
    await status(path)
    expect(closed.logged()).not.toContain(key)
  })
})
