/**
 * Common Alerting Protocol 1.2 (OASIS Standard, 1 July 2010). Alerts are held against its XML schema (section 3.4,
 * fixtures/cap-1.2.xsd) by a general-purpose validator, and against what the text of section 3.2 asks beyond that.
 */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { validateXML } from 'xmllint-wasm'
import { type CapSubject, capAlert, capTime } from '../../hub/delivery/cap-alert.js'
import { Certainty, Severity, Urgency, WarningKind } from '../../shared/api/warnings.js'
import { FROST, GARDEN, RAISED_MS } from '../delivery/made-up-warnings.js'

const SCHEMA = readFileSync(join(import.meta.dirname, 'fixtures/cap-1.2.xsd'), 'utf8')

async function objections(...alerts: readonly string[]): Promise<string[]> {
  const files = alerts.map((contents, i) => ({ fileName: `alert-${i}.xml`, contents }))
  const { errors } = await validateXML({ xml: files, schema: { fileName: 'cap.xsd', contents: SCHEMA } })
  return errors.map((error) => error.rawMessage)
}

const subject = (change: Partial<CapSubject> = {}): CapSubject => ({
  warning: FROST,
  garden: GARDEN,
  gardenUuid: 'ec8b6a9c-6f5f-4b7c-9d8e-5a8a9a9b7c55',
  bedName: 'Under the quince',
  earlierMs: [],
  isExercise: false,
  pageUrl: null,
  ...change,
})
const LATER_MS = RAISED_MS + 3_600_500
const updated = { ...FROST, severity: 'Severe', updatedAtMs: LATER_MS }
const cleared = { ...updated, updatedAtMs: LATER_MS + 60_000, clearedAtMs: LATER_MS + 60_000 }
/** the text of the first element of this name, escapes undone */
const textOf = (xml: string, name: string): string | null =>
  new RegExp(`<${name}>([^<]*)</${name}>`).exec(xml)?.[1]?.replaceAll('&lt;', '<').replaceAll('&amp;', '&') ??
  null

describe('the schema that alerts are held against', () => {
  const alert = capAlert(subject())
  it.each([
    ['a missing sender', alert.replace(/<sender>.*<\/sender>/, '')],
    ['an invented severity', alert.replace('>Moderate<', '>Grave<')],
    ['a time with parts of a second', alert.replace(/(<sent>[^<+]*)/, '$1.500')],
    ['a time in Z', alert.replace(/<sent>[^<]*/, '<sent>2027-05-06T02:10:00Z')],
    ['elements out of order', alert.replace(/(\s*<status>.*<\/status>)(\s*<msgType>.*<\/msgType>)/, '$2$1')],
    ['another version of the protocol', alert.replace('cap:1.2', 'cap:1.1')],
    ['an alert without its category', alert.replace(/<category>.*<\/category>/, '')],
  ])('objects to %s', async (_what, wrong) => {
    expect(wrong).not.toBe(alert)
    expect(await objections(wrong)).not.toEqual([])
  })
})

describe('alerts', () => {
  it('of every kind, severity, urgency and certainty keep to the schema', async () => {
    const alerts: string[] = []
    for (const kind of WarningKind.options) {
      for (const severity of Severity.options) {
        for (const urgency of Urgency.options) {
          for (const certainty of Certainty.options) {
            alerts.push(capAlert(subject({ warning: { ...FROST, kind, severity, urgency, certainty } })))
          }
        }
      }
    }
    expect(await objections(...alerts)).toEqual([])
  })

  it('raised, updated and cleared, with times and without, in gardens of any zone, keep to the schema', async () => {
    const times = { onsetMs: RAISED_MS + 123, expiresMs: RAISED_MS + 7_200_123, chance: 1 / 3 }
    const alerts = [FROST, updated, cleared].flatMap((warning) =>
      ['Etc/UTC', 'Asia/Kathmandu', 'America/St_Johns', 'Pacific/Apia'].flatMap((timeZone) => [
        capAlert(subject({ warning, garden: { ...GARDEN, timeZone } })),
        capAlert(
          subject({
            warning: { ...warning, ...times, bed: null, planting: null, node: 'wren' },
            garden: { ...GARDEN, timeZone },
            earlierMs: [RAISED_MS, RAISED_MS + 60_000],
            isExercise: true,
            bedName: null,
            pageUrl: 'https://garden.example/beds/quince?span=1d&from=x',
          }),
        ),
      ]),
    )
    expect(await objections(...alerts)).toEqual([])
  })

  it('carry any text a grower can type, whatever XML thinks of it', async () => {
    const alerts: string[] = []
    fc.assert(
      fc.property(fc.string({ unit: 'binary', minLength: 1 }), (text) => {
        const warning = { ...FROST, headline: `<b>&"'${text}]]>`, why: text, advice: `${text}\n\t` }
        alerts.push(capAlert(subject({ warning, bedName: text, garden: { ...GARDEN, name: text } })))
      }),
      {
        numRuns: 150,
        examples: [['\u0000\u0008\ud800\ufffe'], ['</headline><status>Actual</status>'], [']]>']],
      },
    )
    expect(await objections(...alerts)).toEqual([])
    const xml = capAlert(subject({ warning: { ...FROST, headline: 'a < b & c &lt; d' } }))
    expect(textOf(xml, 'headline')).toBe('a < b & c &lt; d')
  })
})

describe('what section 3.2 asks beyond the schema', () => {
  it('gives times in UTC as −00:00, and none with parts of a second', () => {
    expect(capTime(Date.parse('2027-05-06T02:10:00.999Z'), 'Etc/UTC')).toBe('2027-05-06T02:10:00-00:00')
    expect(capTime(Date.parse('2027-05-06T02:10:00.999Z'), 'Asia/Kolkata')).toBe('2027-05-06T07:40:00+05:30')
  })

  it('names neither blanks, commas, < nor & in identifier and sender', () => {
    for (const name of ['identifier', 'sender'])
      expect(textOf(capAlert(subject()), name)).toMatch(/^[^\s,<&]+$/)
  })

  it('gives a private alert its addresses', () => {
    const xml = capAlert(subject())
    expect(textOf(xml, 'scope')).toBe('Private')
    expect(textOf(xml, 'addresses')).toBe('garden-home')
  })

  it('refers from an update and a cancellation to the earlier messages by sender, identifier and time', () => {
    const first = capAlert(subject())
    expect(textOf(first, 'msgType')).toBe('Alert')
    expect(textOf(first, 'references')).toBeNull()
    const extended = (xml: string): string =>
      ['sender', 'identifier', 'sent'].map((name) => textOf(xml, name)).join(',')

    const second = capAlert(subject({ warning: updated, earlierMs: [RAISED_MS, LATER_MS] }))
    expect(textOf(second, 'msgType')).toBe('Update')
    expect(textOf(second, 'references')).toBe(extended(first))
    expect(textOf(second, 'identifier')).not.toBe(textOf(first, 'identifier'))

    const last = capAlert(subject({ warning: cleared, earlierMs: [RAISED_MS, LATER_MS] }))
    expect(textOf(last, 'msgType')).toBe('Cancel')
    expect(textOf(last, 'responseType')).toBe('AllClear')
    expect(textOf(last, 'references')).toBe(`${extended(first)} ${extended(second)}`)
  })

  it('keeps the references of a long history short, and the first among them', () => {
    const earlierMs = Array.from({ length: 100 }, (_, i) => RAISED_MS + i * 10_000)
    const references =
      textOf(capAlert(subject({ warning: updated, earlierMs })), 'references')?.split(' ') ?? []
    expect(references).toHaveLength(10)
    expect(references[0]).toContain(textOf(capAlert(subject()), 'identifier'))
  })

  it('marks what was made up as an exercise, and says so in its note', () => {
    const xml = capAlert(subject({ isExercise: true }))
    expect(textOf(xml, 'status')).toBe('Exercise')
    expect(textOf(xml, 'note')).toContain('Made-up')
  })

  it('draws the area as latitude, longitude and a radius in km', () => {
    expect(textOf(capAlert(subject()), 'circle')).toBe('55.7,-12.5 0.1')
  })
})
