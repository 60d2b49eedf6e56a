import { encode } from 'cborg'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type DecodedPack, decodePack, excerptOf } from '../../hub/ingest/pack.js'

const NOW_MS = Date.UTC(2027, 4, 6, 12)
const NOW_S = NOW_MS / 1000
const decode = (payload: string | Uint8Array): DecodedPack =>
  decodePack(typeof payload === 'string' ? Buffer.from(payload) : payload, NOW_MS)
const json = (records: unknown): DecodedPack => decode(JSON.stringify(records))

/** Labels as CBOR has them; RFC 8428 §6. */
const CBOR: Record<string, number> = {
  bver: -1,
  bn: -2,
  bt: -3,
  bu: -4,
  bv: -5,
  bs: -6,
  n: 0,
  u: 1,
  v: 2,
  vs: 3,
  vb: 4,
  s: 5,
  t: 6,
  ut: 7,
  vd: 8,
}
const cbor = (records: Record<string, unknown>[]): Uint8Array =>
  encode(records.map((r) => new Map(Object.entries(r).map(([k, v]) => [CBOR[k] ?? k, v]))))

describe('a pack', () => {
  it('becomes readings in the stored units', () => {
    expect(
      json([
        { bt: NOW_S, n: 'air-temp', u: 'K', v: 290.65 },
        { n: 'soil-temp', u: 'Cel', v: 14.9 },
        { n: 'light', u: 'lx', v: 38100 },
        { n: 'battery', u: 'mV', v: 3712 },
      ]),
    ).toEqual({
      ok: true,
      readings: [
        { quantity: 'air-temp', timeMs: NOW_MS, value: 290.65 - 273.15 },
        { quantity: 'soil-temp', timeMs: NOW_MS, value: 14.9 },
        { quantity: 'light', timeMs: NOW_MS, value: 38100 },
        { quantity: 'battery', timeMs: NOW_MS, value: 3.712 },
      ],
      skipped: 0,
      hasRelativeTimes: false,
    })
  })

  it.each([
    ['air-temp', 'air-temp'],
    ['urn:dev:mac:0024befffe804ff1:air-temp', 'air-temp'],
    ['shed/corner/Air_Temp', 'air-temp'],
    ['pm2.5', 'pm2-5'],
    ['urn:dev:ow:10e2073a01080063', '10e2073a01080063'],
  ])('takes the quantity from the end of the name: %s is %s', (n, quantity) => {
    expect(json([{ n, v: 1 }])).toMatchObject({ ok: true, readings: [{ quantity }] })
  })

  it.each(['shed/', 'a:', 'a/-b', 'a/_b', `a/${'x'.repeat(64)}`])(
    'is refused when %s ends in no quantity',
    (n) => {
      expect(json([{ n, v: 1 }])).toMatchObject({ ok: false, reason: 'not-senml' })
    },
  )

  it('is refused when two names run together into one quantity', () => {
    expect(
      json([
        { n: 'left/air-temp', v: 1 },
        { n: 'right/air-temp', v: 2 },
      ]),
    ).toMatchObject({
      ok: false,
      message: expect.stringContaining('left/air-temp'),
    })
  })

  it('keeps quantities that nobody knows, with their value as it comes', () => {
    expect(json([{ n: 'co2', u: 'ppm', v: 412.5 }])).toMatchObject({
      readings: [{ quantity: 'co2', value: 412.5 }],
    })
  })

  it('keeps a truth value as 1 or 0 and a sum under a name of its own, and counts text and data', () => {
    expect(
      json([
        { n: 'door', vb: true },
        { n: 'lid', vb: false },
        { n: 'energy', u: 'W', v: 5, s: 1800 },
        { n: 'firmware', vs: '1.2' },
        { n: 'blob', vd: 'aGkgCg' },
      ]),
    ).toMatchObject({
      ok: true,
      readings: [
        { quantity: 'door', value: 1 },
        { quantity: 'lid', value: 0 },
        { quantity: 'energy', value: 5 },
        { quantity: 'energy-sum', value: 1800 },
      ],
      skipped: 2,
    })
  })

  it('takes a known quantity without unit in its documented unit', () => {
    expect(json([{ n: 'air-temp', v: 17.5 }])).toMatchObject({ readings: [{ value: 17.5 }] })
  })

  it('holds the backlog of a node that was offline, relative to now', () => {
    const backlog = Array.from({ length: 3 }, (_, i) => ({ n: 'air-temp', u: 'Cel', t: -60 * i, v: 10 + i }))
    const pack = json(backlog)
    expect(pack).toMatchObject({ ok: true, hasRelativeTimes: true })
    expect(pack.ok && pack.readings.map((r) => r.timeMs)).toEqual([NOW_MS, NOW_MS - 60_000, NOW_MS - 120_000])
  })

  it('says the same in JSON and in CBOR', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            n: fc.constantFrom('air-temp', 'light', 'x'),
            t: fc.integer({ min: -1e6, max: 1e6 }),
            v: fc.double({ noNaN: true, noDefaultInfinity: true }),
            bt: fc.option(fc.integer({ min: 1e9, max: 2e9 }), { nil: undefined }),
            bv: fc.option(fc.integer({ min: -5, max: 5 }), { nil: undefined }),
          }),
          { minLength: 1 },
        ),
        (records) => {
          const plain = JSON.parse(JSON.stringify(records)) as Record<string, unknown>[]
          expect(decode(cbor(plain))).toEqual(json(plain))
        },
      ),
    )
  })

  it('may start with a byte order mark or white space', () => {
    expect(decode('\ufeff [{"n":"a","v":1}]\r\n')).toMatchObject({ ok: true })
  })
})

describe('a hostile pack', () => {
  const deep = (open: string, n: number): string => open.repeat(n)

  it.each([
    ['nothing', '', 'not-senml'],
    ['text', 'hello', 'not-json'],
    ['half a pack', '[{"n":"a","v":', 'not-json'],
    ['two packs', '[{"n":"a","v":1}][{"n":"a","v":1}]', 'not-json'],
    ['a number', '17', 'not-senml'],
    ['null', 'null', 'not-senml'],
    ['an object', '{"air-temp":17}', 'not-senml'],
    ['a pack of numbers', '[1,2]', 'not-senml'],
    ['a pack of packs', '[[{"n":"a","v":1}]]', 'not-senml'],
    ['NaN', '[{"n":"a","v":NaN}]', 'not-json'],
    ['Infinity', '[{"n":"a","v":-Infinity}]', 'not-json'],
    ['1e400', '[{"n":"a","v":1e400}]', 'not-senml'],
    ['1e400 as time', '[{"n":"a","v":1,"t":1e400}]', 'not-senml'],
    ['values that add up to infinity', '[{"bv":1e308,"n":"a","v":1e308}]', 'not-senml'],
    ['a value as text', '[{"n":"a","v":"17"}]', 'not-senml'],
    ['a name as number', '[{"n":7,"v":1}]', 'not-senml'],
    ['a time as text', '[{"n":"a","v":1,"t":"now"}]', 'not-senml'],
    ['a value twice', '[{"n":"a","v":1,"v":2}]', 'not-json'],
    ['a value twice, once escaped', '[{"n":"a","v":1,"\\u0076":2}]', 'not-json'],
    ['a member twice in an extension', '[{"n":"a","v":1,"x":{"y":1,"y":2}}]', 'not-json'],
    ['milliseconds for seconds', `[{"n":"a","v":1,"t":${NOW_MS}}]`, 'time'],
    ['a time before 1970', '[{"n":"a","v":1,"t":-4e9}]', 'time'],
    ['a name with a wildcard', '[{"n":"a/#","v":1}]', 'not-senml'],
    ['a name that climbs', '[{"n":"../../etc","v":1}]', 'not-senml'],
    ['a name with a null byte', '[{"n":"a\\u0000","v":1}]', 'not-senml'],
    ['__proto__', '[{"__proto__":{"v":1},"n":"a"}]', 'not-senml'],
    ['light in watts', '[{"n":"light","u":"W/m2","v":1}]', 'unit'],
    ['Fahrenheit', '[{"n":"air-temp","u":"F","v":70}]', 'unit'],
    ['a unit called constructor', '[{"n":"air-temp","u":"constructor","v":70}]', 'unit'],
    ['a deep array', deep('[', 100_000), 'not-json'],
    ['a deep object', deep('{"a":', 50_000), 'not-json'],
    ['a deep extension', `[{"n":"a","v":1,"x":${deep('[', 9)}${deep(']', 9)}}]`, 'not-json'],
    [
      'too many records',
      JSON.stringify(Array.from({ length: 20_001 }, () => ({ n: 'a', v: 1 }))),
      'too-many-records',
    ],
  ])('of %s is refused whole, with its reason', (_what, payload, reason) => {
    expect(decode(payload)).toMatchObject({ ok: false, reason })
  })

  it.each([
    ['bytes that are not UTF-8', '5b7b226e223a22ff', 'not-json'],
    ['a deep array', '81'.repeat(100_000), 'not-cbor'],
    ['deep tags', 'c4'.repeat(100_000), 'not-cbor'],
    ['a length beyond memory', '9bffffffffffffffff', 'not-cbor'],
    ['text beyond the end', '81a1007b7fffffffffffffff', 'not-cbor'],
    ['NaN', '81a200616102f97e00', 'not-cbor'],
    ['infinity', '81a200616102fb7ff0000000000000', 'not-cbor'],
    ['undefined', '81a200616102f7', 'not-cbor'],
    ['a key twice', '81a300616102010202', 'not-cbor'],
    ['text labels', '81a2616e6161617601', 'not-senml'],
    ['a map', 'a20061610201', 'not-senml'],
    ['more after the pack', '81a2006161020100', 'not-cbor'],
    ['an unknown tag', '81a200616102c101', 'not-cbor'],
    ['a fraction too large', '81a200616102c4821a7fffffff01', 'not-cbor'],
    ['an array as label', '81a18001', 'not-senml'],
    ['a stop without start', 'ff', 'not-cbor'],
  ])('of CBOR with %s is refused whole, with its reason', (_what, hex, reason) => {
    expect(decode(Buffer.from(hex, 'hex'))).toMatchObject({ ok: false, reason })
  })

  it('never makes the decoder throw, whatever the bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        expect(decode(bytes)).toHaveProperty('ok')
      }),
      { numRuns: 2_000 },
    )
  })

  it('never makes the decoder throw, whatever the JSON, and never lets a value through that is not finite', () => {
    const label = fc.constantFrom(
      'n',
      'v',
      't',
      'bn',
      'bt',
      'bv',
      'bs',
      's',
      'u',
      'vb',
      'vs',
      'vd',
      'bver',
      'x',
      'x_',
    )
    const field = fc.oneof(
      fc.double(),
      fc.constantFrom('air-temp', 'a:b', '', 'K'),
      fc.boolean(),
      fc.jsonValue(),
    )
    fc.assert(
      fc.property(fc.array(fc.dictionary(label, field), { maxLength: 5 }), (records) => {
        const pack = json(records)
        if (pack.ok)
          for (const reading of pack.readings) {
            expect(Number.isFinite(reading.value)).toBe(true)
            expect(Number.isSafeInteger(reading.timeMs)).toBe(true)
            expect(reading.quantity).toMatch(/^[a-z0-9][a-z0-9-]{0,62}$/)
          }
      }),
      { numRuns: 2_000 },
    )
  })

  it('is shown by its first bytes, none of which can do harm', () => {
    expect(excerptOf(Buffer.from('<b>\u0007é\n'))).toBe('<b>····')
    expect(excerptOf(Buffer.alloc(1000, 'x'))).toHaveLength(120)
  })
})
