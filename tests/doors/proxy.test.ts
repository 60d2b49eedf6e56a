/** Behind a proxy: its word counts where the owner named it, and nobody else's does. */
import { afterEach, expect, it } from 'vitest'
import { type ClosedHub, closedHub, PASSPHRASE } from './closed-hub.js'

let closed: ClosedHub
afterEach(() => closed.close())

const FORWARDED = { 'x-forwarded-proto': 'https', 'x-forwarded-for': '203.0.113.9', host: 'garden.example' }

it('cookies are marked Secure where the proxy speaks TLS', async () => {
  closed = await closedHub({ trustedProxies: '127.0.0.1' })
  const me = closed.browser()
  const answer = await me.ask(
    'POST',
    'access/set-up',
    { code: closed.code(), passphrase: PASSPHRASE },
    FORWARDED,
  )
  expect(answer.status).toBe(204)
  expect(me.setCookie).toContain('Secure')
})

it('attempts are counted by the address that the proxy names', async () => {
  closed = await closedHub({ trustedProxies: '127.0.0.1' })
  await closed.owner()
  const guess = async (address: string): Promise<number> =>
    (
      await closed
        .browser()
        .ask('POST', 'access/sign-in', { passphrase: 'wrong' }, { ...FORWARDED, 'x-forwarded-for': address })
    ).status
  for (let i = 0; i < 5; i++) expect(await guess('203.0.113.9')).toBe(403)
  expect(await guess('203.0.113.9')).toBe(429)
  expect(await guess('203.0.113.10')).toBe(403)
})

it('a stranger’s word about address and TLS counts for nothing', async () => {
  closed = await closedHub()
  const me = closed.browser()
  const { host: _host, ...claims } = FORWARDED
  await me.ask('POST', 'access/set-up', { code: closed.code(), passphrase: PASSPHRASE }, claims)
  expect(me.setCookie).not.toContain('Secure')
  for (let i = 0; i < 5; i++) {
    const from = { 'x-forwarded-for': `203.0.113.${i}` }
    await closed.browser().ask('POST', 'access/sign-in', { passphrase: 'wrong' }, from)
  }
  const late = await closed
    .browser()
    .ask('POST', 'access/sign-in', { passphrase: 'wrong' }, { 'x-forwarded-for': '203.0.113.99' })
  expect(late.status).toBe(429)
})
