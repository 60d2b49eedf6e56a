/** The outbox on a real database, a real SMTP server and a real HTTP receiver. */
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { DeliveryError } from '../../hub/delivery/delivery-error.js'
import type { Mail, MailSender } from '../../hub/delivery/mail-sender.js'
import { MOST_PER_HOUR, retryWaitMs } from '../../hub/delivery/outbox.js'
import { Warning } from '../../shared/api/warnings.js'
import { FROST, RAISED_MS } from './made-up-warnings.js'
import { mailTo, type OutboxFixture, openOutbox } from './outbox-fixture.js'
import { type SmtpFixture, smtpServer } from './smtp-fixture.js'

const MINUTE_MS = 60_000
const HOUR_MS = 60 * MINUTE_MS
const SPELL = { kind: 'warm-spell' as const, id: '0e3e1a0b-7f3a-4c57-9c39-0a4a1f2b8c11' }
const idOf = (n: number): string => `0e3e1a0b-7f3a-4c57-9c39-${String(n).padStart(12, '0')}`
/** the raised warnings are told of at four in the morning; the daily letter goes at seven */
const LETTER_MS = Date.parse('2027-05-06T07:00:00+02:00')

let smtp: SmtpFixture
let fixture: OutboxFixture
/** what the server says to the next mails; null: takes them */
let refusal: { code: number; at: 'recipient' | 'data' } | null
beforeEach(async () => {
  refusal = null
  smtp = await smtpServer({ refuse: () => refusal })
  fixture = await openOutbox({ mail: mailTo(smtp.port) })
  await fixture.set({ mailTo: ['a@example.org'] })
})
afterEach(async () => {
  await fixture.close()
  await smtp.close()
})

const states = async (): Promise<string[]> =>
  (await fixture.garden.listDeliveries('home', 100)).map((d) => d.state).reverse()
const subjects = (): string[] => smtp.mails.map((mail) => mail.subject ?? '')

describe('a warning', () => {
  it('is mailed once, in plain words, to each recipient by itself', async () => {
    await fixture.set({ mailTo: ['a@example.org', 'b@example.org'] })
    await fixture.save({ chance: 0.68, onsetMs: RAISED_MS + HOUR_MS })
    await fixture.outbox.pump()
    await fixture.outbox.pump()
    expect(smtp.mails.map((mail) => mail.recipients)).toEqual([['a@example.org'], ['b@example.org']])
    const [mail] = smtp.mails
    expect(mail?.subject).toBe(FROST.headline)
    for (const words of [
      'Bed: Under the quince',
      'Since: 04:10 on 2027-05-06',
      'Expected: 05:10 on 2027-05-06',
      'How sure: possible, about 7 in 10',
      `Why: ${FROST.why}`,
      `What to do: ${FROST.advice}`,
      'https://garden.example',
    ]) {
      expect(mail?.text).toContain(words)
    }
    expect(String(mail?.html)).toContain(`<h2>${FROST.headline}</h2>`)
  })

  it('that changes and ends is told of in the same thread', async () => {
    await fixture.save()
    await fixture.outbox.pump()
    fixture.clock.nowMs += HOUR_MS
    const changed = { raisedAtMs: RAISED_MS, severity: 'Severe', urgency: 'Immediate' }
    await fixture.save(changed)
    await fixture.outbox.pump()
    fixture.clock.nowMs += HOUR_MS
    await fixture.save({ ...changed, clearedAtMs: fixture.clock.nowMs })
    await fixture.outbox.pump()
    expect(subjects()).toEqual([FROST.headline, `Changed: ${FROST.headline}`, `Over: ${FROST.headline}`])
    const [first, second, third] = smtp.mails
    expect(first?.inReplyTo).toBeUndefined()
    expect(second?.inReplyTo).toBe(first?.messageId)
    expect(third?.inReplyTo).toBe(second?.messageId)
    expect(new Set(smtp.mails.map((mail) => mail.messageId)).size).toBe(3)
    expect(third?.text).toContain('Over since: 06:10 on 2027-05-06')
  })

  it('whose numbers alone change is no news', async () => {
    await fixture.save()
    await fixture.outbox.pump()
    fixture.clock.nowMs += HOUR_MS
    await fixture.save({ raisedAtMs: RAISED_MS, why: 'other numbers' })
    await fixture.outbox.pump()
    expect(smtp.mails).toHaveLength(1)
  })

  it('of a kind that can wait comes in the daily letter, with all that came that day', async () => {
    await fixture.save(SPELL)
    await fixture.save({ kind: 'short-sun', id: idOf(1), headline: 'Too little sun' })
    await fixture.save({ kind: 'cold-soil', id: idOf(2), headline: 'Cold soil' })
    await fixture.outbox.pump()
    fixture.clock.nowMs += HOUR_MS
    await fixture.save({
      kind: 'cold-soil',
      id: idOf(2),
      headline: 'Cold soil',
      clearedAtMs: fixture.clock.nowMs,
    })
    await fixture.outbox.pump()
    expect(smtp.mails).toEqual([])
    fixture.clock.nowMs = LETTER_MS - 1
    await fixture.outbox.pump()
    expect(smtp.mails).toEqual([])
    fixture.clock.nowMs = LETTER_MS
    await fixture.outbox.pump()
    expect(subjects()).toEqual(['Quince Court: 2 warnings, 1 over'])
    expect(smtp.mails[0]?.text).toMatch(
      /today: 2 warnings, 1 over since\.[\s\S]*Too little sun[\s\S]*Over: Cold soil/,
    )
    await fixture.outbox.pump()
    expect(smtp.mails).toHaveLength(1)
  })

  it('that becomes grave while it waits for the daily letter goes at once, and is not in the letter again', async () => {
    await fixture.save(SPELL)
    await fixture.outbox.pump()
    fixture.clock.nowMs += MINUTE_MS
    await fixture.save({ ...SPELL, severity: 'Severe', urgency: 'Immediate' })
    await fixture.outbox.pump()
    expect(smtp.mails).toHaveLength(1)
    expect(smtp.mails[0]?.headers.get('priority')).toBe('high')
    fixture.clock.nowMs = LETTER_MS
    await fixture.outbox.pump()
    expect(smtp.mails).toHaveLength(1)
  })

  it('that came and went in quiet hours is told of once they end, in one mail', async () => {
    await fixture.set({ mailTo: ['a@example.org'], quietHours: { from: '22:00', to: '06:00' } })
    await fixture.save()
    await fixture.outbox.pump()
    fixture.clock.nowMs += HOUR_MS
    await fixture.save({ raisedAtMs: RAISED_MS, clearedAtMs: fixture.clock.nowMs })
    await fixture.outbox.pump()
    expect(smtp.mails).toEqual([])
    fixture.clock.nowMs = Date.parse('2027-05-06T06:00:00+02:00')
    await fixture.outbox.pump()
    expect(subjects()).toEqual([`Over: ${FROST.headline}`])
    expect(smtp.mails[0]?.text).toMatch(/Since: 04:10[\s\S]*Over since: 05:10/)
  })

  it('that the grower muted for its planting is not sent', async () => {
    await fixture.garden.putNode('home', 'wren', { name: 'Wren' })
    const planting = await fixture.garden.addPlanting('home', {
      bed: 'quince',
      crop: 'kale',
      variety: null,
      sownOn: null,
      plantedOutOn: '2027-05-01',
      plants: 6,
      spacingM: 0.4,
      finishedOn: null,
    })
    await fixture.garden.putMutes('home', planting.id, ['frost'])
    await fixture.save({ planting: planting.id })
    await fixture.save({ id: idOf(1), planting: null })
    await fixture.outbox.pump()
    expect(smtp.mails).toHaveLength(1)
  })

  it('of a garden nobody set delivery for goes nowhere, then or later', async () => {
    await fixture.set({})
    await fixture.save()
    await fixture.outbox.pump()
    await fixture.set({ mailTo: ['a@example.org'] })
    await fixture.outbox.pump()
    expect(await states()).toEqual([])
  })

  it('is not sent to whom was taken out, or about what was muted, while it waited', async () => {
    await fixture.set({ mailTo: ['a@example.org', 'b@example.org'] })
    await fixture.save(SPELL)
    await fixture.outbox.pump()
    await fixture.set({ mailTo: ['b@example.org'] })
    fixture.clock.nowMs = LETTER_MS
    await fixture.outbox.pump()
    expect(smtp.mails.map((mail) => mail.recipients)).toEqual([['b@example.org']])
    expect(await states()).toEqual(['dropped', 'sent'])
  })
})

describe('a flood', () => {
  it('of warnings at once goes as one letter', async () => {
    for (let n = 0; n < 8; n++) await fixture.save({ id: idOf(n), headline: `Frost ${n}` })
    await fixture.outbox.pump()
    expect(subjects()).toEqual(['Quince Court: 8 warnings'])
    for (let n = 0; n < 8; n++) expect(smtp.mails[0]?.text).toContain(`Frost ${n}`)
  })

  it('of warnings one after the other is held back, then goes as one', async () => {
    for (let n = 0; n < 10; n++) {
      await fixture.save({ id: idOf(n), headline: `Frost ${n}` })
      await fixture.outbox.pump()
      fixture.clock.nowMs += MINUTE_MS
    }
    expect(smtp.mails).toHaveLength(MOST_PER_HOUR)
    expect((await fixture.garden.listDeliveries('home', 1))[0]?.trouble).toContain('Held back')
    fixture.clock.nowMs += HOUR_MS
    await fixture.outbox.pump()
    expect(smtp.mails).toHaveLength(MOST_PER_HOUR + 1)
    expect(subjects().at(-1)).toBe('Quince Court: 4 warnings')
    expect(await states()).toEqual(Array(10).fill('sent'))
  })
})

describe('a mail server', () => {
  it('that is down loses nothing: what happened meanwhile comes once it is back', async () => {
    const { port } = smtp
    await smtp.close()
    await fixture.save()
    await fixture.outbox.pump()
    const [waiting] = await fixture.garden.listDeliveries('home', 1)
    expect(waiting).toMatchObject({ state: 'waiting', attempts: 1, dueMs: RAISED_MS + MINUTE_MS })
    expect(waiting?.trouble).toContain('cannot be reached')
    smtp = await smtpServer({ port })
    fixture.clock.nowMs += 30_000
    await fixture.outbox.pump()
    expect(smtp.mails).toEqual([])
    fixture.clock.nowMs += 30_000
    await fixture.outbox.pump()
    expect(subjects()).toEqual([FROST.headline])
    expect((await fixture.garden.listDeliveries('home', 1))[0]).toMatchObject({
      state: 'sent',
      trouble: null,
    })
  })

  it('that refuses for now is asked again, later and later; one that refuses for good is not', async () => {
    refusal = { code: 451, at: 'data' }
    await fixture.save()
    const waits: number[] = []
    for (let n = 0; n < 8; n++) {
      await fixture.outbox.pump()
      const [waiting] = await fixture.garden.listDeliveries('home', 1)
      waits.push((waiting!.dueMs - fixture.clock.nowMs) / MINUTE_MS)
      fixture.clock.nowMs = waiting!.dueMs
    }
    expect(waits).toEqual([1, 2, 4, 8, 16, 32, 60, 60])
    refusal = { code: 550, at: 'recipient' }
    await fixture.outbox.pump()
    fixture.clock.nowMs += 2 * HOUR_MS
    await fixture.outbox.pump()
    const [failed] = await fixture.garden.listDeliveries('home', 1)
    expect(failed).toMatchObject({ state: 'failed', attempts: 9 })
    expect(failed?.trouble).toContain('refused')
  })

  it('that never comes back is given up after three days, with the last reason', async () => {
    refusal = { code: 451, at: 'data' }
    await fixture.save()
    await fixture.outbox.pump()
    fixture.clock.nowMs += 73 * HOUR_MS
    await fixture.outbox.pump()
    expect((await fixture.garden.listDeliveries('home', 1))[0]).toMatchObject({
      state: 'failed',
      trouble: expect.stringMatching(/^Given up after three days\. The mail server/),
    })
  })
})

describe('the waits between attempts', () => {
  it('double to an hour, a quarter up or down', () => {
    expect(retryWaitMs(1, 0)).toBe(45_000)
    expect(retryWaitMs(1, 1)).toBe(75_000)
    expect(retryWaitMs(30, 0.5)).toBe(HOUR_MS)
  })
})

describe('after a restart', () => {
  /** Takes mails and tells of them; the answer can be kept back for ever. */
  const watched = (mails: Mail[], answer: () => Promise<void>): MailSender => ({
    domain: 'example.org',
    async send(mail) {
      mails.push(mail)
      await answer()
    },
  })

  it('nothing that was sent is sent again', async () => {
    await fixture.save()
    await fixture.save(SPELL)
    await fixture.outbox.pump()
    const again = await fixture.restart()
    await again.pump()
    expect(smtp.mails).toHaveLength(1)
    expect(await states()).toEqual(['sent', 'waiting'])
  })

  it('news that no outbox had seen is sent: it was written with the warning', async () => {
    await fixture.save()
    const again = await fixture.restart()
    await again.pump()
    expect(smtp.mails).toHaveLength(1)
  })

  it('what was being sent when the hub died goes again under the same id', async () => {
    const before: Mail[] = []
    const dying = await fixture.restart(watched(before, () => new Promise(() => {})))
    await fixture.save()
    void dying.pump()
    await expect.poll(() => before.length).toBe(1)
    expect(await states()).toEqual(['sending'])

    const after: Mail[] = []
    const again = await fixture.restart(watched(after, async () => {}))
    await again.pump()
    expect(after.map((mail) => mail.messageId)).toEqual(before.map((mail) => mail.messageId))
    expect(await states()).toEqual(['sent'])
  })

  it('a mail whose answer was lost goes again under the same id', async () => {
    const mails: Mail[] = []
    let isLost = true
    const outbox = await fixture.restart(
      watched(mails, async () => {
        if (isLost) throw new DeliveryError('OUTCOME_UNKNOWN', 'it may arrive twice')
      }),
    )
    await fixture.save()
    await outbox.pump()
    isLost = false
    fixture.clock.nowMs += MINUTE_MS
    await outbox.pump()
    expect(mails).toHaveLength(2)
    expect(new Set(mails.map((mail) => mail.messageId)).size).toBe(1)
  })
})

describe('a webhook', () => {
  it('gets each piece of news as JSON, with the warning in the form that the API gives it', async () => {
    const bodies: unknown[] = []
    const receiver = createServer((request, response) => {
      let body = ''
      request.on('data', (chunk) => {
        body += String(chunk)
      })
      request.on('end', () => {
        bodies.push(JSON.parse(body))
        response.writeHead(204).end()
      })
    })
    await new Promise<void>((resolve) => {
      receiver.listen(0, '127.0.0.1', resolve)
    })
    const webhookUrl = `http://127.0.0.1:${(receiver.address() as AddressInfo).port}/`
    await fixture.set({ webhookUrl, webhookSecret: 'a secret shared by two' })
    const { id } = await fixture.save(SPELL)
    await fixture.outbox.pump()
    const Body = z.strictObject({
      type: z.literal('warnings'),
      garden: z.strictObject({ id: z.literal('home'), name: z.literal('Quince Court') }),
      news: z.array(z.strictObject({ events: z.array(z.string()), warning: Warning.strict() })),
    })
    expect(bodies).toHaveLength(1)
    const { news } = Body.parse(bodies[0])
    expect(news).toMatchObject([{ events: ['raised'], warning: { id, kind: 'warm-spell', clearedAt: null } }])
    receiver.closeAllConnections()
    receiver.close()
  })
})
