/** What is wrong with a field is said in plain words, whatever the validator calls it. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { plainValidator } from '../../hub/api/plain-validator.js'
import { type ApiFixture, COPENHAGEN, LONG_BED, openApi } from './api-fixture.js'

/** words of the validator's own, which nobody should meet in a form */
const JARGON =
  /invalid|expected|received|too (small|big)|unrecognized|must match pattern|[<>]=?\s*\d|NaN|undefined/i

describe('what is wrong, in plain words', () => {
  let api: ApiFixture
  beforeAll(async () => {
    api = await openApi()
    await api.setUpHome()
  })
  afterAll(() => api.close())

  const PLANTING = { bed: 'long', crop: 'cabbage-early', plants: 4, spacingM: 0.4, sownOn: '2027-03-01' }
  it.each([
    ['gardens/home', { ...COPENHAGEN, latitudeDeg: 155 }, 'latitudeDeg', 'must be at most 90'],
    ['gardens/home', { ...COPENHAGEN, latitudeDeg: '55' }, 'latitudeDeg', 'must be a number'],
    ['gardens/home', { ...COPENHAGEN, name: undefined }, 'name', 'is missing'],
    ['gardens/home', { ...COPENHAGEN, name: ' ' }, 'name', 'give it a name'],
    ['gardens/home', { ...COPENHAGEN, moon: 1 }, 'body', 'nothing called moon is known here'],
    ['gardens/home/beds/long', { ...LONG_BED, lengthM: 0 }, 'lengthM', 'must be more than 0'],
    ['gardens/home/beds/long', { ...LONG_BED, widthM: 201 }, 'widthM', 'at most 200 m'],
    [
      'gardens/home/beds/long',
      { ...LONG_BED, kind: 'boat' },
      'kind',
      'use one of: raised, container, ground',
    ],
    ['gardens/home/plantings/none', { ...PLANTING, plants: 2.5 }, 'plants', 'must be a whole number'],
    ['gardens/home/plantings/none', { ...PLANTING, plants: -2 }, 'plants', 'must be more than 0'],
    ['gardens/home/plantings/none', { ...PLANTING, crop: '' }, 'crop', 'must not be empty'],
    [
      'gardens/home/plantings/none',
      { ...PLANTING, variety: 'x'.repeat(81) },
      'variety',
      'must have at most 80 characters',
    ],
  ])('%s with %o: at %s, %s', async (path, body, field, words) => {
    const { status, body: problem } = await api.ask('PUT', path, body)
    expect(status).toBe(400)
    expect(problem.problems).toContainEqual({ field, message: words })
  })

  it('never shows the validator’s own terms, whatever is sent where', async () => {
    const junk = [null, -1, 1e300, 'x', '', [], {}, true, 2.5]
    const paths: [string, Record<string, unknown>][] = [
      ['gardens/home', COPENHAGEN],
      ['gardens/home/beds/long', LONG_BED],
      ['gardens/home/nodes/n1', { name: 'by the wall' }],
      ['gardens/home/plantings/none', PLANTING],
      ['gardens/home/delivery', {}],
      ['gardens/home/normals', {}],
      ['gardens/home/crops/own', {}],
      ['gardens/home/journal/e1', { kind: 'cut' }],
    ]
    for (const [path, good] of paths) {
      for (const field of [...Object.keys(good), 'stranger']) {
        for (const value of junk) {
          const { status, body } = await api.ask('PUT', path, { ...good, [field]: value })
          if (status !== 400) continue
          for (const { message } of body.problems ?? [])
            expect(message, `${path} ${field}=${JSON.stringify(value)}`).not.toMatch(JARGON)
        }
      }
    }
  })

  it.each([
    [z.array(z.string()).length(2), ['a'], 'must have exactly 2 entries'],
    [z.array(z.string()).min(1), [], 'must not be empty'],
    [z.string().min(3), 'a', 'must have at least 3 characters'],
    [z.number().lt(5), 5, 'must be less than 5'],
    [z.number().multipleOf(0.5), 0.3, 'must be a multiple of 0.5'],
    [z.boolean(), 'yes', 'must be yes or no (true or false)'],
    [z.email(), 'rowan', 'must be a mail address, e.g. rowan@example.org'],
    [z.union([z.string(), z.number()]), true, 'is not of any kind that belongs here'],
    [z.literal('a'), 'b', 'must be a'],
    [z.null(), 1, 'must be null'],
    [z.string().regex(/^a/), 'b', 'is not written in the way that belongs here'],
    [z.string('say it'), 1, 'say it'],
  ])('says it of any schema: %#', (schema, value, words) => {
    const check = plainValidator({ schema, method: 'PUT', url: '/', httpPart: 'body' })
    expect(check(value)).toMatchObject({ error: [expect.objectContaining({ message: words })] })
  })
})
