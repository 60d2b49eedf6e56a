/** Becoming the owner, signing in and out, sessions, the passphrase, and what each refuses. */

import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type Browser, type ClosedHub, closedHub, PASSPHRASE } from './closed-hub.js'

const DAY_MS = 24 * 3_600_000

let closed: ClosedHub
beforeEach(async () => {
  closed = await closedHub()
})
afterEach(() => closed.close())

describe('a hub without an owner', () => {
  it('answers strangers with nothing but health, the page and what sets it up', async () => {
    const stranger = closed.browser()
    expect((await stranger.ask('GET', 'access')).body).toEqual({ door: 'set-up', visitor: null })
    for (const path of ['/healthz', '/', '/nodes', 'problems']) {
      expect([200, 503], path).toContain(await stranger.status('GET', path))
    }
    for (const path of [
      'gardens',
      'gardens/home/today',
      'gardens/home/live',
      'openapi.json',
      '/metrics',
      'access/links',
    ]) {
      const { status, body, headers } = await stranger.ask('GET', path)
      expect([path, status, body.code]).toEqual([path, 401, 'SET_UP_FIRST'])
      expect(headers.get('www-authenticate')).toContain('Bearer')
    }
    expect(await stranger.status('PUT', 'gardens/home', {})).toBe(401)
  })

  it('takes the code as people type it, makes the owner and signs in', async () => {
    const me = closed.browser()
    const typed = ` ${closed.code().toUpperCase().replace('-', ' – ')} `
    expect(await me.status('POST', 'access/set-up', { code: typed, passphrase: PASSPHRASE })).toBe(204)
    expect((await me.ask('GET', 'access')).body).toEqual({ door: 'closed', visitor: 'owner' })
    expect(await me.status('GET', 'gardens')).toBe(200)
    expect(me.setCookie).toMatch(/HttpOnly/)
    expect(me.setCookie).toMatch(/SameSite=Strict/)
  })

  it('refuses a wrong code and a weak passphrase, field by field', async () => {
    const me = closed.browser()
    const wrong = await me.ask('POST', 'access/set-up', { code: 'aaaaa-aaaaa', passphrase: PASSPHRASE })
    expect([wrong.status, wrong.body.code, wrong.body.problems[0].field]).toEqual([403, 'WRONG_CODE', 'code'])
    for (const passphrase of ['short', 'aaaaaaaaaaaaaaa', 'ababababababab']) {
      const weak = await me.ask('POST', 'access/set-up', { code: closed.code(), passphrase })
      expect([weak.status, weak.body.problems[0].field]).toEqual([400, 'passphrase'])
    }
    expect(closed.hub.isWithoutOwner).toBe(true)
  })

  it('draws another code after an hour and after ten wrong ones, and at each start', async () => {
    const first = closed.code()
    closed.pass(61 * 60_000)
    const late = await closed.browser().ask('POST', 'access/set-up', { code: first, passphrase: PASSPHRASE })
    expect(late.body.code).toBe('WRONG_CODE')
    const second = closed.code()
    expect(second).not.toBe(first)
    let wrong = 0
    while (closed.code() === second && wrong < 50) {
      const guess = { code: 'x'.repeat(10), passphrase: PASSPHRASE }
      const { status, headers } = await closed.browser().ask('POST', 'access/set-up', guess)
      if (status === 403) wrong++
      else closed.pass(Number(headers.get('retry-after')) * 1_000)
    }
    expect(wrong).toBe(10)
    const third = closed.code()
    await closed.restart()
    expect(closed.code()).not.toBe(third)
    expect(
      await closed.browser().status('POST', 'access/set-up', { code: third, passphrase: PASSPHRASE }),
    ).toBe(403)
  })

  it('has one owner, however many come at once', async () => {
    const attempts = await Promise.all(
      [1, 2].map(() =>
        closed.browser().status('POST', 'access/set-up', { code: closed.code(), passphrase: PASSPHRASE }),
      ),
    )
    expect(attempts.filter((status) => status === 204)).toHaveLength(1)
    const again = await closed
      .browser()
      .ask('POST', 'access/set-up', { code: closed.code(), passphrase: PASSPHRASE })
    expect(again.body.code).toBe('ALREADY_SET_UP')
  })
})

describe('signing in', () => {
  let owner: Browser
  beforeEach(async () => {
    owner = await closed.owner()
  })

  it('works with the passphrase only, on as many devices as one likes', async () => {
    const phone = closed.browser()
    const wrong = await phone.ask('POST', 'access/sign-in', { passphrase: `${PASSPHRASE}x` })
    expect([wrong.status, wrong.body.code, phone.cookie]).toEqual([403, 'WRONG_PASSPHRASE', null])
    expect((await phone.ask('GET', 'gardens')).body.code).toBe('SIGN_IN_FIRST')
    expect(await phone.status('POST', 'access/sign-in', { passphrase: PASSPHRASE })).toBe(204)
    expect(await phone.status('GET', 'gardens')).toBe(200)
    expect((await owner.ask('GET', 'access/sessions')).body).toHaveLength(2)
  })

  it('takes the same passphrase from a keyboard that composes its letters differently', async () => {
    await owner.ask('PUT', 'access/passphrase', {
      passphrase: PASSPHRASE,
      newPassphrase: 'caf\u00e9 au potager',
    })
    expect(
      await closed.browser().status('POST', 'access/sign-in', { passphrase: 'cafe\u0301 au potager' }),
    ).toBe(204)
  })

  it('slows guessing down more and more, also guesses sent at once, and says how long to wait', async () => {
    const guess = () => closed.browser().ask('POST', 'access/sign-in', { passphrase: 'not this one' })
    const answers = []
    for (let i = 0; i < 5; i++) answers.push(await guess())
    expect(answers.map(({ status }) => status)).toEqual([403, 403, 403, 403, 403])
    const atOnce = await Promise.all(Array.from({ length: 20 }, guess))
    expect(atOnce.every(({ status }) => status === 429)).toBe(true)
    expect(Number(atOnce[0]!.headers.get('retry-after'))).toBeGreaterThan(0)
    // even the right one has to wait …
    expect(await closed.browser().status('POST', 'access/sign-in', { passphrase: PASSPHRASE })).toBe(429)
    // … and who is signed in is not bothered
    expect(await owner.status('GET', 'gardens')).toBe(200)
    const waits: number[] = []
    for (let i = 0; i < 4; i++) {
      closed.pass((waits.at(-1) ?? 1) * 1_000)
      await guess()
      waits.push(Number((await guess()).headers.get('retry-after')))
    }
    for (const [i, wait] of waits.entries()) if (i > 0) expect(wait).toBeGreaterThan(waits[i - 1]! * 1.4)
    closed.pass(16 * 60_000)
    expect(await closed.browser().status('POST', 'access/sign-in', { passphrase: PASSPHRASE })).toBe(204)
  })

  it('ends by signing out, for that session only, and the old cookie opens nothing', async () => {
    const phone = closed.browser()
    await phone.ask('POST', 'access/sign-in', { passphrase: PASSPHRASE })
    const replayed = phone.cookie
    expect(await phone.status('POST', 'access/sign-out')).toBe(204)
    phone.cookie = replayed
    expect(await phone.status('GET', 'gardens')).toBe(401)
    expect(await owner.status('GET', 'gardens')).toBe(200)
  })

  it('is forgotten when nobody comes for two weeks, and after ninety days in any case', async () => {
    closed.pass(13 * DAY_MS)
    expect(await owner.status('GET', 'gardens')).toBe(200)
    closed.pass(13 * DAY_MS)
    expect(await owner.status('GET', 'gardens')).toBe(200)
    closed.pass(15 * DAY_MS)
    expect(await owner.status('GET', 'gardens')).toBe(401)
    const patient = await closed.owner()
    for (let day = 0; day < 89; day += 8) {
      expect(await patient.status('GET', 'gardens')).toBe(200)
      closed.pass(8 * DAY_MS)
    }
    expect(await patient.status('GET', 'gardens')).toBe(401)
  })

  it('lasts over a restart', async () => {
    await closed.restart()
    expect(await owner.status('GET', 'gardens')).toBe(200)
  })

  it('ends on other devices when the passphrase changes, or one by one by the owner’s hand', async () => {
    const phone = await closed.owner()
    const tablet = await closed.owner()
    const { body: sessions } = await owner.ask('GET', 'access/sessions')
    const other = sessions.find((session: { isThis: boolean }) => !session.isThis)
    expect(await owner.status('DELETE', `access/sessions/${other.id}`)).toBe(204)
    expect(await owner.status('DELETE', `access/sessions/${other.id}`)).toBe(404)
    const still = await Promise.all([phone, tablet].map((device) => device.status('GET', 'gardens')))
    expect(still.sort()).toEqual([200, 401])
    const change = { passphrase: PASSPHRASE, newPassphrase: 'another one altogether' }
    expect(await owner.status('PUT', 'access/passphrase', { ...change, passphrase: 'wrong one' })).toBe(403)
    const weak = await owner.ask('PUT', 'access/passphrase', { ...change, newPassphrase: 'weak' })
    expect([weak.status, weak.body.problems[0].field]).toEqual([400, 'newPassphrase'])
    expect(await owner.status('PUT', 'access/passphrase', change)).toBe(204)
    expect(await owner.status('GET', 'gardens')).toBe(200)
    expect(await phone.status('GET', 'gardens')).toBe(401)
    expect(await tablet.status('GET', 'gardens')).toBe(401)
    expect(await closed.browser().status('POST', 'access/sign-in', { passphrase: PASSPHRASE })).toBe(403)
  })

  it('keeps no secret in the database or the log', async () => {
    const { body: link } = await owner.ask('POST', 'access/links', { name: 'Ida', days: 3 })
    const { body: credential } = await owner.ask('POST', 'gardens/home/nodes/n1/credential')
    const secret =
      decodeURIComponent(owner.cookie ?? '')
        .split('=')[1]
        ?.split('.')[0] ?? ''
    expect(secret).toHaveLength(32)
    const db = new Database(join(closed.dataDir, 'garden.sqlite'), { readonly: true })
    const tables = ['owner', 'sessions', 'reading_links', 'api_tokens', 'node_credentials']
    const stored = JSON.stringify(tables.map((table) => db.prepare(`SELECT * FROM ${table}`).all()))
    db.close()
    expect(stored).toContain('$argon2id$v=19$m=19456')
    await closed.browser().ask('POST', 'access/sign-in', { passphrase: `${PASSPHRASE} almost` })
    for (const hidden of [secret, link.secret, credential.password, PASSPHRASE]) {
      expect(stored).not.toContain(hidden)
      expect(closed.logged()).not.toContain(hidden)
    }
    expect(closed.logged()).not.toContain(closed.code())
  })
})
