import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { MOST_WAITING, type PlanContext, planDelivery } from '../../hub/delivery/delivery-plan.js'
import { nextHourMs, quietEndMs, wallTimeMs } from '../../hub/delivery/quiet-hours.js'
import type { StoredDelivery, WarningNews } from '../../hub/garden/delivery-port.js'
import { DeliverySettings } from '../../shared/api/delivery.js'
import { isoWithOffset } from '../../shared/local-time.js'
import { FROST } from './made-up-warnings.js'

const ZONE = 'Europe/Copenhagen'
const at = (text: string): number => Date.parse(text)
/** two in the morning */
const NIGHT_MS = at('2027-05-06T02:00:00+02:00')
const SPELL = { ...FROST, id: 'w2', kind: 'warm-spell' as const }

const news = (change: Partial<WarningNews> = {}): WarningNews => ({
  seq: 1,
  garden: 'home',
  event: 'raised',
  atMs: NIGHT_MS,
  warning: SPELL,
  ...change,
})
const context = (
  settings: Partial<DeliverySettings> = {},
  change: Partial<PlanContext> = {},
): PlanContext => ({
  settings: DeliverySettings.parse({ mailTo: ['a@example.org'], ...settings }),
  canMail: true,
  timeZone: ZONE,
  nowMs: NIGHT_MS,
  waiting: 0,
  isMutedForPlanting: false,
  earlier: [],
  ...change,
})
const told = (change: Partial<StoredDelivery> = {}): StoredDelivery => ({
  id: 1,
  garden: 'home',
  channel: 'mail',
  target: 'a@example.org',
  event: 'raised',
  atMs: NIGHT_MS,
  warning: SPELL,
  form: 'own',
  state: 'sent',
  dueMs: NIGHT_MS,
  attempts: 1,
  messageId: '<x@y>',
  trouble: null,
  settledAtMs: NIGHT_MS,
  ...change,
})
const QUIET = { quietHours: { from: '22:00', to: '06:30' } }
const MORNING_MS = at('2027-05-06T06:30:00+02:00')
const GRAVE = { severity: 'Severe', urgency: 'Immediate' }

describe('news of a warning', () => {
  it('goes at once for the kinds the grower chose, and into the daily letter for the rest', () => {
    expect(planDelivery(news({ warning: FROST }), context())).toMatchObject([
      { form: 'own', dueMs: NIGHT_MS, target: 'a@example.org', channel: 'mail', dropped: null },
    ])
    expect(planDelivery(news(), context())).toMatchObject([
      { form: 'digest', dueMs: at('2027-05-06T07:00:00+02:00') },
    ])
  })

  it('goes at once when it is grave, whatever its kind, also in quiet hours', () => {
    for (const grave of [GRAVE, { severity: 'Extreme', urgency: 'Future' }]) {
      const [planned] = planDelivery(news({ warning: { ...SPELL, ...grave } }), context(QUIET))
      expect(planned).toMatchObject({ form: 'own', dueMs: NIGHT_MS })
    }
    const severeLater = { ...SPELL, severity: 'Severe', urgency: 'Expected' }
    expect(planDelivery(news({ warning: severeLater }), context(QUIET))[0]?.form).toBe('digest')
  })

  it('waits for the end of quiet hours otherwise, mail and post alike', () => {
    const both = context({ ...QUIET, webhookUrl: 'http://127.0.0.1/in' })
    expect(planDelivery(news({ warning: FROST }), both)).toMatchObject([
      { channel: 'mail', dueMs: MORNING_MS },
      { channel: 'webhook', form: 'own', dueMs: MORNING_MS },
    ])
    const early = context({ ...QUIET, digestAtHour: 5 })
    expect(planDelivery(news(), early)).toMatchObject([{ form: 'digest', dueMs: MORNING_MS }])
  })

  it('goes to nobody when its kind is muted, for all or for this planting', () => {
    expect(planDelivery(news(), context({ mutedKinds: ['warm-spell'] }))).toEqual([])
    expect(planDelivery(news(), context({}, { isMutedForPlanting: true }))).toEqual([])
  })

  it('is not mailed without a daily letter unless it goes at once', () => {
    expect(planDelivery(news(), context({ digestAtHour: null }))).toEqual([])
    expect(planDelivery(news({ warning: FROST }), context({ digestAtHour: null }))).toHaveLength(1)
  })

  it('of an end goes to whom was told of the beginning, and the same way', () => {
    const cleared = news({ event: 'cleared', warning: { ...SPELL, ...GRAVE, clearedAtMs: NIGHT_MS } })
    expect(planDelivery(cleared, context(QUIET))).toEqual([])
    expect(planDelivery(cleared, context(QUIET, { earlier: [told()] }))).toMatchObject([
      { form: 'own', dueMs: MORNING_MS },
    ])
    expect(planDelivery(cleared, context({}, { earlier: [told({ form: 'digest' })] }))[0]?.form).toBe(
      'digest',
    )
    for (const missed of [
      told({ state: 'failed' }),
      told({ state: 'dropped' }),
      told({ target: 'b@example.org' }),
    ]) {
      expect(planDelivery(cleared, context({}, { earlier: [missed] }))).toEqual([])
    }
  })

  it('is dropped with its reason where there is no mail server, or the outbox is full and it is not grave', () => {
    expect(planDelivery(news(), context({}, { canMail: false }))[0]?.dropped).toContain('HEARTING_MAIL_URL')
    const full = context({}, { waiting: MOST_WAITING })
    expect(planDelivery(news(), full)[0]?.dropped).toContain('waiting')
    expect(planDelivery(news({ warning: { ...SPELL, ...GRAVE } }), full)[0]?.dropped).toBeNull()
  })
})

describe('hours on the garden’s clock', () => {
  it('of the daily letter follow clock changes', () => {
    // clocks go forward on 28 March 2027 and back on 31 October
    expect(nextHourMs(at('2027-03-27T12:00:00Z'), 7, ZONE)).toBe(at('2027-03-28T07:00:00+02:00'))
    expect(nextHourMs(at('2027-10-30T12:00:00Z'), 7, ZONE)).toBe(at('2027-10-31T07:00:00+01:00'))
    expect(nextHourMs(at('2027-05-06T07:00:00+02:00'), 7, ZONE)).toBe(at('2027-05-07T07:00:00+02:00'))
  })

  it('that a clock change skips are within an hour of it', () => {
    const skipped = wallTimeMs('2027-03-28', '02:30', ZONE)
    expect(Math.abs(skipped - at('2027-03-28T01:00:00Z'))).toBeLessThanOrEqual(3_600_000)
  })

  it('are quiet by day or over midnight', () => {
    const nap = { from: '13:00', to: '14:00' }
    expect(quietEndMs(at('2027-05-06T13:30:00+02:00'), nap, ZONE)).toBe(at('2027-05-06T14:00:00+02:00'))
    expect(quietEndMs(at('2027-05-06T14:00:00+02:00'), nap, ZONE)).toBe(at('2027-05-06T14:00:00+02:00'))
    const night = { from: '22:00', to: '06:30' }
    expect(quietEndMs(at('2027-05-06T22:00:00+02:00'), night, ZONE)).toBe(at('2027-05-07T06:30:00+02:00'))
    expect(quietEndMs(at('2027-05-06T21:59:59+02:00'), night, ZONE)).toBe(at('2027-05-06T21:59:59+02:00'))
  })

  it('never hold anything for more than a day and an hour, nor send it before its time', () => {
    const clock = fc
      .tuple(fc.integer({ min: 0, max: 23 }), fc.integer({ min: 0, max: 59 }))
      .map(([h, m]) => `${String(h).padStart(2, '0')}:${String(m).padStart(2, '0')}`)
    fc.assert(
      fc.property(
        fc.integer({ min: at('2027-01-01T00:00:00Z'), max: at('2028-01-01T00:00:00Z') }),
        clock,
        clock,
        fc.constantFrom(ZONE, 'America/St_Johns', 'Australia/Lord_Howe', 'Etc/UTC'),
        (timeMs, from, to, zone) => {
          fc.pre(from !== to)
          const endMs = quietEndMs(timeMs, { from, to }, zone)
          expect(endMs).toBeGreaterThanOrEqual(timeMs)
          expect(endMs - timeMs).toBeLessThanOrEqual(25 * 3_600_000)
          const next = nextHourMs(timeMs, Number(from.slice(0, 2)), zone)
          expect(next).toBeGreaterThan(timeMs)
          expect(next - timeMs).toBeLessThanOrEqual(26 * 3_600_000)
          expect(isoWithOffset(next, zone)).toMatch(/T\d\d:[03]0:00/)
        },
      ),
      { numRuns: 500 },
    )
  })
})
