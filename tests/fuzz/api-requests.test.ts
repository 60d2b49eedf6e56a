/**
 * Whatever is sent to the API, in addresses, queries, headers and bodies: every answer is one that the API
 * describes, never a failure inside the hub. The addresses come from the API's own description, so that a new one
 * is tried without being added here. Once with open doors, and once in front of closed ones.
 */
import fc from 'fast-check'
import type { InjectOptions } from 'fastify'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openDoors } from '../../hub/doors/open-doors.js'
import { openSqliteGarden } from '../../hub/garden/sqlite-garden.js'
import { topicsUnder } from '../../hub/ingest/topics.js'
import { type ApiFixture, NOW_MS, openApi } from '../api/api-fixture.js'
import { newDataDir } from '../hub/hub-fixture.js'

const RUNS_PER_ADDRESS = 25

interface Operation {
  readonly requestBody?: { readonly content: Readonly<Record<string, unknown>> }
  readonly parameters?: readonly { readonly name: string; readonly in: string }[]
}

/** Texts that have broken programs before, beside what fast-check thinks up. */
const awkward = fc.oneof(
  fc.constantFrom(
    '',
    'home',
    'long',
    'n1',
    'entry-001',
    '__proto__',
    'constructor',
    '../../x',
    '%',
    '\u0000',
    '\ud800',
    "'; DROP TABLE beds; --",
    '<script>',
    '9'.repeat(400),
    'x'.repeat(5_000),
    '-1',
    '1e309',
    'NaN',
    'null',
    '2027-02-29',
    '0000-01-01',
    '9999-12-31T23:59:59Z',
    '2027-06-15T12:00:00+99:99',
    '2027-05-01',
    '2027-06-01',
  ),
  fc.string({ unit: 'binary', maxLength: 40 }),
)
const body = fc.oneof(
  fc.json(),
  fc.anything({ withNullPrototype: false }).map((value) => JSON.stringify(value) ?? 'null'),
  fc
    .dictionary(
      fc.constantFrom(
        'name',
        'kind',
        'lengthM',
        'bed',
        'node',
        'from',
        'to',
        'crop',
        'plants',
        'spacingM',
        'sownOn',
        'timeZone',
        'latitudeDeg',
        'longitudeDeg',
        'elevationM',
        'passphrase',
        'newPassphrase',
        'code',
        'secret',
        'days',
      ),
      fc.oneof(awkward, fc.double(), fc.integer(), fc.constant(null), fc.boolean(), fc.array(fc.anything())),
      { maxKeys: 12 },
    )
    .map((value) => JSON.stringify(value)),
  fc.string({ maxLength: 60 }),
)

const mostly = (...good: (string | number | null)[]) =>
  fc.oneof({ weight: 9, arbitrary: fc.constantFrom(...good) }, { weight: 1, arbitrary: awkward })
const number = fc.oneof(
  { weight: 9, arbitrary: fc.constant(null) },
  { weight: 1, arbitrary: fc.oneof(fc.double(), fc.integer()) },
)
/** An entry of the journal that is right but for some of its fields. */
const journalBody = fc
  .record(
    {
      id: mostly('entry-001', 'entry-002', 'entry-003'),
      kind: mostly('fed', 'watered', 'firmness', 'cut', 'note', 'note'),
      on: mostly('2027-05-01', '2027-06-15'),
      planting: mostly(null),
      bed: mostly('long', null),
      plants: number,
      firmness: mostly('firm', null, null),
      stemMm: number,
      weightKg: number,
      diameterMm: number,
      what: mostly('nettle brew', null),
      note: fc.oneof(fc.string({ unit: 'binary' }), fc.constant(null)),
    },
    { requiredKeys: ['kind', 'on'] },
  )
  .map((value) => JSON.stringify(value))
/** The beginnings of images, and what is none. */
const imageBody = fc
  .tuple(
    fc.constantFrom('', '89504e470d0a1a0a', 'ffd8ff', '524946460000000057454250', '47494638'),
    fc.uint8Array({ maxLength: 300 }),
  )
  .map(([head, rest]) => Buffer.concat([Buffer.from(head, 'hex'), rest]))

function requestsTo(method: string, path: string, operation: Operation): fc.Arbitrary<InjectOptions> {
  const names = (where: string): string[] =>
    (operation.parameters ?? []).filter((one) => one.in === where).map(({ name }) => name)
  // mostly the garden that is there, so that what lies behind is reached
  const named = (key: string) => (key === 'garden' ? fc.oneof(awkward, fc.constant('home')) : awkward)
  const record = (keys: string[]) => fc.record(Object.fromEntries(keys.map((key) => [key, named(key)])))
  const query = fc.oneof(
    record(names('query')),
    fc.dictionary(fc.oneof(awkward, fc.constantFrom(...names('query'), 'x')), awkward, { maxKeys: 4 }),
  )
  const types = Object.keys(operation.requestBody?.content ?? {}).filter((type) => type.startsWith('image/'))
  const wellMeant = types.length > 0 ? imageBody : path.includes('/journal') ? journalBody : body
  const type = fc.constantFrom('application/json', 'application/json', 'text/plain', ...types, ...types)
  return fc
    .tuple(record(names('path')), query, fc.oneof(body, wellMeant), type, awkward)
    .map(([params, asked, payload, contentType, odd]) => {
      const address = path.replace(/\{(\w+)\}/g, (_all, name: string) => encoded(String(params[name])))
      const search = Object.entries(asked).map(([key, value]) => `${encoded(key)}=${encoded(value)}`)
      const hasBody = method !== 'get' && method !== 'delete'
      return {
        method: method.toUpperCase() as 'GET',
        url: `${address}?${search.join('&')}`,
        headers: {
          ...(hasBody ? { 'content-type': contentType } : {}),
          'user-agent': encoded(odd),
        },
        ...(hasBody ? { payload } : {}),
      }
    })
}

/** Half a surrogate pair cannot be encoded. */
function encoded(text: string): string {
  return encodeURIComponent(text.replace(/\p{Surrogate}/gu, '\ufffd'))
}

describe.each(['open', 'closed'] as const)('with doors %s', (kind) => {
  let api: ApiFixture
  let operations: [string, string, Operation][] = []
  const ends: (() => Promise<unknown>)[] = []
  beforeAll(async () => {
    if (kind === 'open') api = await openApi()
    else {
      const folder = await newDataDir()
      const records = await openSqliteGarden({ dataDir: folder.dataDir })
      const doors = await openDoors({
        records,
        now: () => NOW_MS,
        topics: topicsUnder(),
        onSetUpCode: () => {},
        onTrouble: (error) => {
          throw error
        },
      })
      ends.push(
        () => doors.close(),
        () => records.close(),
        folder.remove,
      )
      api = await openApi(() => ({ doors }))
    }
    if (kind === 'open') await api.setUpHome()
    await api.app.ready()
    const document = api.app.swagger() as { paths: Record<string, Record<string, Operation>> }
    operations = Object.entries(document.paths).flatMap(([path, methods]) =>
      Object.entries(methods)
        .filter(() => !path.endsWith('/live'))
        .map(([method, operation]): [string, string, Operation] => [method, path, operation]),
    )
  })
  afterAll(async () => {
    await api.close()
    for (const end of ends) await end()
  })

  it('no request makes the hub fail', async () => {
    expect(operations.length).toBeGreaterThan(30)
    const answers = new Map<number, number>()
    for (const [method, path, operation] of operations) {
      await fc.assert(
        fc.asyncProperty(requestsTo(method, path, operation), async (request) => {
          const response = await api.app.inject(request)
          answers.set(response.statusCode, (answers.get(response.statusCode) ?? 0) + 1)
          // 503 is an answer of /readyz and of parts that are away; the parts of this test are not
          const isExpected = response.statusCode < 500 || path === '/readyz'
          if (!isExpected)
            throw new Error(`${response.statusCode} to ${JSON.stringify(request)}: ${response.body}`)
          if (kind === 'closed' && response.statusCode < 300 && path.startsWith('/api/v1/gardens')) {
            throw new Error(`a stranger was answered: ${JSON.stringify(request)}`)
          }
        }),
        { numRuns: RUNS_PER_ADDRESS },
      )
    }
    // it did reach what lies behind the checks
    expect(answers.get(kind === 'open' ? 200 : 401) ?? 0).toBeGreaterThan(20)
    expect(answers.get(400) ?? 0).toBeGreaterThan(20)
  }, 180_000)
})
