/**
 * RFC 8428, Sensor Measurement Lists (SenML), August 2018: its own examples in sections 5.1 (JSON) and 6 (CBOR),
 * and the resolved form that section 5.1.4 prints. Times are compared in whole ms, values to the last bit.
 * RFC 8798 (units): rows of table 2, "Secondary Units", typed from memory.
 */
import { describe, expect, it } from 'vitest'
import { decodeCborRecords } from '../../hub/ingest/cbor-records.js'
import { decodePack } from '../../hub/ingest/pack.js'
import { type ResolvedRecord, resolvePack } from '../../hub/ingest/senml.js'
import { toStoredUnit } from '../../hub/ingest/senml-units.js'

const NOW_MS = Date.UTC(2018, 7, 1)
const json = (text: string): ResolvedRecord[] => resolvePack(JSON.parse(text), NOW_MS)

/** name, unit, time (s, null: now), value */
type Row = [string, string | null, number | null, ResolvedRecord['value']]
const rows = (records: readonly ResolvedRecord[]): Row[] =>
  records.map((r) => [r.name, r.unit, r.isRelative ? null : r.timeMs / 1000, r.value])

const DEVICE = 'urn:dev:ow:10e2073a01080063'

describe('RFC 8428, section 5.1: JSON examples', () => {
  it('5.1.1 single data point: taken now', () => {
    const [record] = json(`[{"n":"${DEVICE}","u":"Cel","v":23.1}]`)
    expect(record).toEqual({
      name: DEVICE,
      unit: 'Cel',
      value: 23.1,
      sum: null,
      timeMs: NOW_MS,
      isRelative: true,
    })
  })

  it('5.1.2 multiple data points: base name', () => {
    expect(
      rows(
        json(`[{"bn":"urn:dev:ow:10e2073a01080063:","n":"voltage","u":"V","v":120.1},
               {"n":"current","u":"A","v":1.2}]`),
      ),
    ).toEqual([
      [`${DEVICE}:voltage`, 'V', null, 120.1],
      [`${DEVICE}:current`, 'A', null, 1.2],
    ])
  })

  const SIX_SECONDS: Row[] = [
    ['urn:dev:ow:10e2073a0108006:voltage', 'V', 1276020076.001, 120.1],
    ['urn:dev:ow:10e2073a0108006:current', 'A', 1276020071.001, 1.2],
    ['urn:dev:ow:10e2073a0108006:current', 'A', 1276020072.001, 1.3],
    ['urn:dev:ow:10e2073a0108006:current', 'A', 1276020073.001, 1.4],
    ['urn:dev:ow:10e2073a0108006:current', 'A', 1276020074.001, 1.5],
    ['urn:dev:ow:10e2073a0108006:current', 'A', 1276020075.001, 1.6],
    ['urn:dev:ow:10e2073a0108006:current', 'A', 1276020076.001, 1.7],
  ]

  it('5.1.2 multiple data points: base time, base unit and version', () => {
    expect(
      rows(
        json(`[{"bn":"urn:dev:ow:10e2073a0108006:","bt":1.276020076001e+09,"bu":"A","bver":5,
                "n":"voltage","u":"V","v":120.1},
               {"n":"current","t":-5,"v":1.2},{"n":"current","t":-4,"v":1.3},{"n":"current","t":-3,"v":1.4},
               {"n":"current","t":-2,"v":1.5},{"n":"current","t":-1,"v":1.6},{"n":"current","v":1.7}]`),
      ),
    ).toEqual(SIX_SECONDS)
  })

  it('6: the same in CBOR, byte by byte as the dump shows it', () => {
    const hex = `87a721781b75726e3a6465763a6f773a3130653230373361303130383030363a22fb41d303a15b00106223614120050067
      766f6c7461676501615602fb405e066666666666a3006763757272656e74062402fb3ff3333333333333a300676375727265
      6e74062302fb3ff4cccccccccccda3006763757272656e74062202fb3ff6666666666666a3006763757272656e74062102f9
      3e00a3006763757272656e74062002fb3ff999999999999aa3006763757272656e74060002fb3ffb333333333333`
    const bytes = Buffer.from(hex.replace(/\s/g, ''), 'hex')
    expect(rows(resolvePack(decodeCborRecords(bytes), NOW_MS))).toEqual(SIX_SECONDS)
  })

  it('5.1.3 multiple measurements resolve to what 5.1.4 prints', () => {
    expect(
      rows(
        json(`[{"bn":"${DEVICE}","bt":1.320067464e+09,"bu":"%RH","v":20},
               {"u":"lon","v":24.30621},{"u":"lat","v":60.07965},
               {"t":60,"v":20.3},{"u":"lon","t":60,"v":24.30622},{"u":"lat","t":60,"v":60.07965},
               {"t":120,"v":20.7},{"u":"lon","t":120,"v":24.30623},{"u":"lat","t":120,"v":60.07966},
               {"u":"%EL","t":150,"v":98},
               {"t":180,"v":21.2},{"u":"lon","t":180,"v":24.30628},{"u":"lat","t":180,"v":60.07967}]`),
      ),
    ).toEqual([
      [DEVICE, '%RH', 1320067464, 20],
      [DEVICE, 'lon', 1320067464, 24.30621],
      [DEVICE, 'lat', 1320067464, 60.07965],
      [DEVICE, '%RH', 1320067524, 20.3],
      [DEVICE, 'lon', 1320067524, 24.30622],
      [DEVICE, 'lat', 1320067524, 60.07965],
      [DEVICE, '%RH', 1320067584, 20.7],
      [DEVICE, 'lon', 1320067584, 24.30623],
      [DEVICE, 'lat', 1320067584, 60.07966],
      [DEVICE, '%EL', 1320067614, 98],
      [DEVICE, '%RH', 1320067644, 21.2],
      [DEVICE, 'lon', 1320067644, 24.30628],
      [DEVICE, 'lat', 1320067644, 60.07967],
    ])
  })

  it('5.1.5 multiple data types', () => {
    expect(
      rows(
        json(`[{"bn":"urn:dev:ow:10e2073a01080063:","n":"temp","u":"Cel","v":23.1},
               {"n":"label","vs":"Machine Room"},{"n":"open","vb":false},{"n":"nfc-reader","vd":"aGkgCg"}]`),
      ),
    ).toEqual([
      [`${DEVICE}:temp`, 'Cel', null, 23.1],
      [`${DEVICE}:label`, null, null, 'Machine Room'],
      [`${DEVICE}:open`, null, null, false],
      [`${DEVICE}:nfc-reader`, null, null, 'aGkgCg'],
    ])
  })

  it('5.1.6 collection of resources: a later base name, the first base time', () => {
    expect(
      rows(
        json(`[{"bn":"2001:db8::2/","bt":1.320078429e+09,"n":"temperature","u":"Cel","v":25.2},
               {"n":"humidity","u":"%RH","v":30},
               {"bn":"2001:db8::1/","n":"temperature","u":"Cel","v":12.3},
               {"n":"humidity","u":"%RH","v":67}]`),
      ),
    ).toEqual([
      ['2001:db8::2/temperature', 'Cel', 1320078429, 25.2],
      ['2001:db8::2/humidity', '%RH', 1320078429, 30],
      ['2001:db8::1/temperature', 'Cel', 1320078429, 12.3],
      ['2001:db8::1/humidity', '%RH', 1320078429, 67],
    ])
  })

  it('5.1.7 setting an actuator: a record of base fields alone', () => {
    expect(
      rows(
        json(`[{"bn":"urn:dev:ow:10e2073a01080063:"},{"n":"temp","u":"Cel","v":23.1},
               {"n":"heat","u":"/","v":1},{"n":"fan","u":"/","v":0}]`),
      ),
    ).toEqual([
      [`${DEVICE}:temp`, 'Cel', null, 23.1],
      [`${DEVICE}:heat`, '/', null, 1],
      [`${DEVICE}:fan`, '/', null, 0],
    ])
  })
})

describe('RFC 8428, section 4: rules', () => {
  it.each([
    ['4.4: an unknown field is ignored', '[{"n":"a","v":1,"flavour":{"x":[1]}}]', [['a', null, null, 1]]],
    [
      '4.5.2: a unit of its own beats the base unit',
      '[{"bu":"A","n":"a","u":"V","v":1},{"n":"b","v":2}]',
      [
        ['a', 'V', null, 1],
        ['b', 'A', null, 2],
      ],
    ],
    [
      '4.5.3: base time and time are added',
      '[{"n":"a","bt":1000000000,"t":0.25,"v":1}]',
      [['a', null, 1000000000.25, 1]],
    ],
    ['4.5.3: 2^28 is absolute', '[{"n":"a","t":268435456,"v":1}]', [['a', null, 268435456, 1]]],
    [
      '4.5.4: base value and value are added',
      '[{"n":"a","bv":20,"v":1.5},{"n":"b","v":-1}]',
      [
        ['a', null, null, 21.5],
        ['b', null, null, 19],
      ],
    ],
    ['4.5.4: a missing value counts as zero', '[{"bv":20},{"n":"a","t":0}]', [['a', null, null, 20]]],
  ] as [string, string, Row[]][])('%s', (_clause, pack, expected) => {
    expect(rows(json(pack))).toEqual(expected)
  })

  it.each([
    ['a time of zero is now', 0, NOW_MS],
    ['a negative time is past', -90.5, NOW_MS - 90_500],
    ['a small positive time is to come', 30, NOW_MS + 30_000],
    ['the largest relative time', 268435455, NOW_MS + 268_435_455_000],
  ])('4.5.3: %s', (_rule, t, expected) => {
    expect(json(`[{"n":"a","v":1,"t":${t}}]`)[0]?.timeMs).toBe(expected)
  })

  it('4.2, 4.5.4: a sum needs no value, and base sum is added', () => {
    expect(json('[{"n":"energy","bs":100,"s":5},{"n":"energy","v":1}]')).toMatchObject([
      { value: null, sum: 105 },
      { value: 1, sum: 100 },
    ])
  })

  it.each([
    ['3: a pack is an array', '{"n":"a","v":1}'],
    ['3: of at least one record', '[]'],
    ['4.2: one value field', '[{"n":"a","v":1,"vs":"x"}]'],
    ['4.2: at least one', '[{"n":"a"}]'],
    ['4.4: a field ending in "_" must be understood', '[{"n":"a","v":1,"hold_":1}]'],
    ['4.4: a later version must not be used', '[{"bver":11,"n":"a","v":1}]'],
    ['4.4: one version in a pack', '[{"bver":10,"n":"a","v":1},{"bver":9,"n":"a","v":1}]'],
    ['4.5.1: a name is needed', '[{"v":1}]'],
    ['4.5.1: no other letters', '[{"n":"a b","v":1}]'],
    ['4.5.1: a letter or digit first', '[{"n":"-a","v":1}]'],
  ])('%s, else refused', (_clause, pack) => {
    expect(decodePack(Buffer.from(pack), NOW_MS)).toMatchObject({ ok: false, reason: 'not-senml' })
  })

  it('6: a decimal fraction (tag 4) is the number it spells', () => {
    // [{0: "a", 2: 4([-2, 27115])}]
    const bytes = Buffer.from('81a200616102c482211969eb', 'hex')
    expect(rows(resolvePack(decodeCborRecords(bytes), NOW_MS))).toEqual([['a', null, null, 271.15]])
  })
})

describe('RFC 8798, table 2, and RFC 9100', () => {
  it.each([
    ['battery', 'mV', 3712, 3.712],
    ['battery', 'V', 3.712, 3.712],
    ['signal', 'dBW', -97, -67],
    ['air-temp', 'K', 290.65, 17.5],
    ['humidity', '/', 0.5, 50],
  ])('%s in %s: %f is %f', (quantity, unit, value, expected) => {
    expect(toStoredUnit(quantity, unit, value)).toBeCloseTo(expected, 9)
  })

  it('a pack that announces secondary units (version 26) is understood', () => {
    expect(decodePack(Buffer.from('[{"bver":26,"n":"battery","u":"mV","v":3712}]'), NOW_MS)).toMatchObject({
      ok: true,
      readings: [{ quantity: 'battery', value: 3.712 }],
    })
  })
})
