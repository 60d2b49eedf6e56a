import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  type Answer,
  backOffMs,
  heldUntilMs,
  isOnlyHere,
  type NewItem,
  nextToSend,
  type OutboxItem,
  type Verdict,
  verdictOf,
} from '../../dashboard/src/outbox/outbox-item.js'
import { fleetingOutbox } from '../../dashboard/src/outbox/outbox-store.js'
import { sendWaiting } from '../../dashboard/src/outbox/run-outbox.js'
import type { JournalInput } from '../../shared/api/journal.js'

const input = (note: string): JournalInput => ({
  kind: 'note',
  on: '2027-03-28',
  planting: null,
  bed: null,
  plants: null,
  firmness: null,
  stemMm: null,
  weightKg: null,
  diameterMm: null,
  what: null,
  note,
})

const write = (entry: string, note = entry): NewItem => ({
  task: 'write',
  input: input(note),
  garden: 'home',
  entry,
  holdUntilMs: 0,
})
const change = (entry: string, note: string): NewItem => ({
  ...write(entry, note),
  task: 'change',
  input: input(note),
})
const remove = (entry: string, holdUntilMs = 0): NewItem => ({
  task: 'remove',
  garden: 'home',
  entry,
  holdUntilMs,
})
const photo = (entry: string, id: string): NewItem => ({
  task: 'photo',
  photo: id,
  mediaType: 'image/jpeg',
  garden: 'home',
  entry,
  holdUntilMs: 0,
})

const problem = (status: number, code: string): Answer => ({
  status,
  body: {
    type: 'x',
    title: 'x',
    status,
    detail: `no: ${code}`,
    code,
    problems: [{ field: 'on', message: 'early' }],
  },
})

/** A hub that answers as the contract says, over a line that loses requests and answers. */
function hubBehind(line: () => 'whole' | 'lost before' | 'lost after') {
  const entries = new Map<string, string>()
  const removed = new Set<string>()
  const said: string[] = []
  const answer = (item: OutboxItem): Answer => {
    said.push(`${item.task} ${item.entry}`)
    if (item.task === 'remove') {
      entries.delete(item.entry)
      removed.add(item.entry)
      return { status: 204, body: null }
    }
    if (item.task !== 'write' && item.task !== 'change') return { status: 201, body: null }
    if (removed.has(item.entry)) return problem(410, 'TAKEN_BACK')
    const note = item.input.note ?? ''
    if (item.task === 'write' && entries.has(item.entry))
      return entries.get(item.entry) === note
        ? { status: 200, body: { id: item.entry } }
        : problem(409, 'ID_TAKEN')
    if (item.task === 'change' && !entries.has(item.entry)) return problem(404, 'UNKNOWN_ENTRY')
    entries.set(item.entry, note)
    return { status: item.task === 'write' ? 201 : 200, body: { id: item.entry } }
  }
  return {
    entries,
    said,
    async send(item: OutboxItem): Promise<Verdict> {
      const fate = line()
      if (fate === 'lost before') return verdictOf(item, null)
      const given = answer(item)
      return verdictOf(item, fate === 'whole' ? given : null)
    },
  }
}

const item = (task: NewItem, more: Partial<OutboxItem> = {}): OutboxItem =>
  Object.assign({ seq: 1, isTried: false, refusal: null }, task, more)

describe('what the hub’s answer means', () => {
  test('done is only what the hub itself says is done', () => {
    expect(verdictOf(write('a'), { status: 201, body: { id: 'a' } })).toEqual({ kind: 'done' })
    expect(verdictOf(write('a'), { status: 200, body: { id: 'a' } })).toEqual({ kind: 'done' })
    // a guest network's sign-in page: not JSON, and not this entry
    expect(verdictOf(write('a'), { status: 200, body: undefined }).kind).toBe('stop')
    expect(verdictOf(write('a'), { status: 200, body: {} }).kind).toBe('stop')
    expect(verdictOf(remove('a'), { status: 204, body: null }).kind).toBe('done')
    expect(verdictOf(remove('a'), { status: 200, body: undefined }).kind).toBe('stop')
    expect(verdictOf(photo('a', 'p'), { status: 201, body: { id: 'p' } }).kind).toBe('done')
  })

  test('an id that is taken, or was taken back, has arrived before', () => {
    expect(verdictOf(write('a'), problem(409, 'ID_TAKEN')).kind).toBe('done')
    expect(verdictOf(write('a'), problem(410, 'TAKEN_BACK')).kind).toBe('done')
    expect(verdictOf(photo('a', 'p'), problem(409, 'ID_TAKEN')).kind).toBe('done')
    expect(verdictOf(photo('a', 'p'), problem(409, 'TOO_MANY_PHOTOS')).kind).toBe('refused')
    expect(verdictOf(remove('a'), problem(404, 'UNKNOWN_ENTRY')).kind).toBe('done')
    // typed text that found its entry gone is kept and told
    expect(verdictOf(change('a', 'x'), problem(410, 'TAKEN_BACK')).kind).toBe('refused')
  })

  test('a refusal keeps the hub’s words, each at its field', () => {
    expect(verdictOf(write('a'), problem(400, 'INVALID_INPUT'))).toEqual({
      kind: 'refused',
      refusal: { message: 'no: INVALID_INPUT', problems: [{ field: 'on', message: 'early' }] },
    })
  })

  test.each([
    [null, 'unreachable'],
    [problem(401, 'SIGN_IN_FIRST'), 'signed-out'],
    [problem(403, 'READ_ONLY'), 'may-not'],
    [{ status: 502, body: undefined }, 'unreachable'],
  ] as const)('%o stops the sending: %s', (answer, why) => {
    expect(verdictOf(write('a'), answer)).toEqual({ kind: 'stop', why })
  })

  test.each([429, 500, 503])('%i is for later, and holds up no other entry', (status) => {
    expect(verdictOf(write('a'), problem(status, 'X'))).toEqual({ kind: 'later' })
  })
})

describe('which is sent next', () => {
  const refusal = { message: 'no', problems: [] }

  test('the first, except that what follows a refused or held one of its entry waits for it', () => {
    const items = [
      item(write('a'), { seq: 1, refusal }),
      item(change('a', 'x'), { seq: 2 }),
      item(remove('b', 5_000), { seq: 3 }),
      item(write('c'), { seq: 4 }),
    ]
    expect(nextToSend(items, 1_000)?.seq).toBe(4)
    expect(nextToSend(items, 6_000)?.seq).toBe(3)
    expect(nextToSend(items, 1_000, new Set(['c']))).toBeNull()
    expect(heldUntilMs(items, 1_000)).toBe(5_000)
    expect(heldUntilMs(items, 6_000)).toBeNull()
  })

  test('a removal goes past refused words, and a refused photo holds up none', () => {
    const items = [
      item(write('a'), { seq: 1, refusal }),
      item(remove('a', 5_000), { seq: 2 }),
      item(photo('b', 'p'), { seq: 3, refusal }),
      item(change('b', 'x'), { seq: 4 }),
    ]
    expect(nextToSend(items, 1_000)?.seq).toBe(4)
    expect(nextToSend(items, 6_000)?.seq).toBe(2)
  })

  test('an entry is only here until it was tried, or when it was refused', () => {
    expect(isOnlyHere([item(write('a'))], 'a')).toBe(true)
    expect(isOnlyHere([item(write('a'), { isTried: true })], 'a')).toBe(false)
    expect(isOnlyHere([item(write('a'), { isTried: true, refusal })], 'a')).toBe(true)
    expect(isOnlyHere([item(change('a', 'x'))], 'a')).toBe(false)
  })

  test('waits longer after each failure, never longer than some minutes', () => {
    expect(backOffMs(1, 0.5)).toBe(2_000)
    expect(backOffMs(3, 0.5)).toBe(8_000)
    expect(backOffMs(500, 0.5)).toBe(300_000)
    expect(backOffMs(1, 0)).toBeLessThan(backOffMs(1, 1))
  })
})

describe('sending', () => {
  const ports = (store: ReturnType<typeof fleetingOutbox>, send: (item: OutboxItem) => Promise<Verdict>) => ({
    store,
    send,
    nowMs: () => 0,
    onChange: () => {},
  })

  test('over a line that loses anything, the hub ends with what was meant, once and in order', async () => {
    const step = fc.record({
      entry: fc.constantFrom('a', 'b', 'c'),
      verb: fc.constantFrom('change', 'remove'),
      note: fc.string({ maxLength: 3 }),
    })
    const fate = fc.constantFrom('whole', 'lost before', 'lost after')
    await fc.assert(
      fc.asyncProperty(
        fc.array(step, { maxLength: 8 }),
        fc.array(fate, { maxLength: 30 }),
        async (steps, fates) => {
          const store = fleetingOutbox()
          const meant = new Map<string, string>()
          for (const entry of ['a', 'b', 'c']) {
            await store.add(write(entry))
            meant.set(entry, entry)
          }
          for (const { entry, verb, note } of steps) {
            if (!meant.has(entry)) continue
            if (verb === 'remove') meant.delete(entry)
            else meant.set(entry, note)
            await store.add(verb === 'remove' ? remove(entry) : change(entry, note))
          }
          let sendings = 0
          const hub = hubBehind(() => fates[sendings++] ?? 'whole')
          for (let round = 0; round < 40; round++) await sendWaiting(ports(store, hub.send))
          expect(await store.all()).toEqual([])
          expect(hub.entries).toEqual(meant)
        },
      ),
    )
  })

  test('what was undone before its turn is not sent', async () => {
    const store = fleetingOutbox()
    await store.add(write('a'))
    await store.add(write('b'))
    const hub = hubBehind(() => 'whole')
    const end = await sendWaiting(
      ports(store, async (sent) => {
        if (sent.entry === 'a') await store.forgetIfOnlyHere('b')
        return hub.send(sent)
      }),
    )
    expect(end).toEqual({ stopped: null, isSomePutOff: false, taken: 1 })
    expect(hub.said).toEqual(['write a'])
  })

  test('a refused one stays with its words; the others go', async () => {
    const store = fleetingOutbox()
    await store.add(write('a'))
    await store.add(photo('a', 'p'), new Uint8Array([1]))
    await store.add(write('b'))
    const hub = hubBehind(() => 'whole')
    const end = await sendWaiting(
      ports(store, async (sent) =>
        sent.entry === 'a' ? verdictOf(sent, problem(400, 'INVALID_INPUT')) : hub.send(sent),
      ),
    )
    expect(end.taken).toBe(1)
    expect((await store.all()).map((kept) => [kept.task, kept.refusal?.message ?? null])).toEqual([
      ['write', 'no: INVALID_INPUT'],
      ['photo', null],
    ])
    // thrown away: its photo goes with it
    expect(await store.forgetIfOnlyHere('a')).toBe(true)
    expect(await store.image('p')).toBeNull()
  })

  test('what is taken back after it was refused is gone from here and from the hub', async () => {
    const store = fleetingOutbox()
    const hub = hubBehind(() => 'whole')
    await store.add(write('a'))
    await sendWaiting(ports(store, hub.send))
    await store.add(change('a', 'refused'))
    await sendWaiting(ports(store, async (sent) => verdictOf(sent, problem(400, 'INVALID_INPUT'))))
    await store.add(remove('a'))
    await sendWaiting(ports(store, hub.send))
    expect(await store.all()).toEqual([])
    expect(hub.entries).toEqual(new Map())
  })

  test('stops where nothing can be sent, and says why', async () => {
    const store = fleetingOutbox()
    await store.add(write('a'))
    const end = await sendWaiting(ports(store, async () => ({ kind: 'stop', why: 'signed-out' })))
    expect(end).toMatchObject({ stopped: 'signed-out', taken: 0 })
    expect((await store.all()).length).toBe(1)
  })
})
