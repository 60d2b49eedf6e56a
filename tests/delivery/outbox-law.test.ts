/** Whatever happens in whatever order (news, waiting, refusals, lost answers, deaths), each piece of news arrives once. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DeliveryError } from '../../hub/delivery/delivery-error.js'
import type { MailSender } from '../../hub/delivery/mail-sender.js'
import type { Outbox } from '../../hub/delivery/outbox.js'
import type { StoredWarning } from '../../hub/garden/port.js'
import { type OutboxFixture, openOutbox } from './outbox-fixture.js'

const HOUR_MS = 3_600_000
const KINDS = ['frost', 'warm-spell', 'short-sun'] as const
const RECIPIENTS = ['a@example.org', 'b@example.org']

type Step =
  | { readonly do: 'raise' | 'change' | 'clear'; readonly which: number }
  | { readonly do: 'wait'; readonly minutes: number }
  | { readonly do: 'pump' | 'restart' }
  /** what becomes of the mails from here on */
  | { readonly do: 'mails'; readonly fate: 'taken' | 'refused for now' | 'answer lost' | 'hub dies' }

const step: fc.Arbitrary<Step> = fc.oneof(
  fc.record({ do: fc.constantFrom('raise', 'raise', 'change', 'clear'), which: fc.nat(5) }),
  fc.record({ do: fc.constant('wait' as const), minutes: fc.integer({ min: 1, max: 300 }) }),
  fc.record({ do: fc.constantFrom('pump', 'pump', 'restart') }),
  fc.record({
    do: fc.constant('mails' as const),
    fate: fc.constantFrom('taken', 'refused for now', 'answer lost', 'hub dies'),
  }),
)

/** A mail server whose temper changes; keeps the ids of the mails that it took and said so. */
function temperamental(): {
  readonly sender: MailSender
  readonly taken: string[]
  fate: 'taken' | 'refused for now' | 'answer lost' | 'hub dies'
  /** resolves when a mail hangs in a hub that has died */
  onDeath: () => void
} {
  const server = {
    taken: [] as string[],
    fate: 'taken' as 'taken' | 'refused for now' | 'answer lost' | 'hub dies',
    onDeath: () => {},
    sender: {
      domain: 'example.org',
      async send({ messageId }: { readonly messageId: string }) {
        if (server.fate === 'refused for now') throw new DeliveryError('REFUSED_FOR_NOW', 'not now')
        if (server.fate === 'answer lost') throw new DeliveryError('OUTCOME_UNKNOWN', 'may arrive twice')
        if (server.fate === 'hub dies') {
          server.onDeath()
          await new Promise(() => {})
        }
        server.taken.push(messageId)
      },
    },
  }
  return server
}

async function run(fixture: OutboxFixture, steps: readonly Step[]): Promise<string[]> {
  const server = temperamental()
  let outbox: Outbox = await fixture.restart(server.sender)
  const open = new Map<number, StoredWarning>()
  let made = 0
  const pump = async (): Promise<void> => {
    const died = new Promise<'died'>((resolve) => {
      server.onDeath = () => resolve('died')
    })
    if ((await Promise.race([outbox.pump(), died])) !== 'died') return
    server.fate = 'taken'
    outbox = await fixture.restart(server.sender)
  }
  for (const s of steps) {
    // no two things happen at the same millisecond
    fixture.clock.nowMs += 1
    const known = 'which' in s ? open.get(s.which) : undefined
    if (s.do === 'raise' && !known) {
      const id = `0e3e1a0b-7f3a-4c57-9c39-${String(fixture.clock.nowMs + made++).slice(-12)}`
      open.set(s.which, await fixture.save({ id, kind: KINDS[s.which % KINDS.length]!, planting: null }))
    } else if (s.do === 'change' && known) {
      const severity = known.severity === 'Severe' ? 'Moderate' : 'Severe'
      const changed = { ...known, severity, urgency: 'Immediate', updatedAtMs: fixture.clock.nowMs }
      open.set(s.which, await fixture.save(changed))
    } else if (s.do === 'clear' && known) {
      await fixture.save({ ...known, updatedAtMs: fixture.clock.nowMs, clearedAtMs: fixture.clock.nowMs })
      open.delete(s.which)
    } else if (s.do === 'wait') fixture.clock.nowMs += s.minutes * 60_000
    else if (s.do === 'pump') await pump()
    else if (s.do === 'restart') outbox = await fixture.restart(server.sender)
    else if (s.do === 'mails') server.fate = s.fate
  }
  server.fate = 'taken'
  for (let n = 0; n < 30; n++) {
    await pump()
    fixture.clock.nowMs += HOUR_MS
  }
  return server.taken
}

describe('the outbox', () => {
  it('sends every piece of news once to each recipient, come what may', async () => {
    const fixture = await openOutbox({})
    await fixture.set({ mailTo: RECIPIENTS, quietHours: { from: '22:00', to: '06:00' } })
    let news = 0
    let seen = 0
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 10, maxLength: 40, size: 'max' }), async (steps) => {
        const taken = await run(fixture, steps)
        const all = await fixture.garden.listDeliveries('home', 100_000)
        const fresh = all.slice(0, all.length - seen)
        seen = all.length
        news += fresh.length
        expect(new Set(taken).size).toBe(taken.length)
        for (const delivery of fresh) {
          expect(delivery.state).toBe('sent')
          expect(taken).toContain(delivery.messageId)
        }
        expect(new Set(fresh.map((d) => d.messageId)).size).toBe(taken.length)
        expect(await fixture.garden.unplannedNews(1)).toEqual([])
      }),
      { numRuns: 25 },
    )
    expect(news).toBeGreaterThan(100)
    await fixture.close()
  }, 120_000)
})
