import { describe, expect, test } from 'vitest'
import {
  ALL_KINDS,
  acrossWords,
  entrySentence,
  kindWords,
  stemWords,
  weightWords,
} from '../../dashboard/src/journal/journal-words.js'
import { fieldsOf, readTyped, typedOf } from '../../dashboard/src/journal/kind-fields.js'
import { likelyKinds, otherKinds } from '../../dashboard/src/journal/likely-kinds.js'
import { filtered, shownEntries } from '../../dashboard/src/journal/shown-entries.js'
import type { OutboxItem } from '../../dashboard/src/outbox/outbox-item.js'
import { type JournalEntry, JournalInput, JournalKind } from '../../shared/api/journal.js'

const nbsp = '\u00a0'
const NO_PLACE = { planting: null, bed: null }

const entryOf = (id: string, on: string, more: Partial<JournalEntry> = {}): JournalEntry => ({
  ...JournalInput.parse({ kind: 'fed', on }),
  id,
  photos: [],
  writtenAt: `${on}T12:00:00Z`,
  ...more,
})

describe('the journal in words', () => {
  test('knows every kind, each by a name of its own', () => {
    expect([...ALL_KINDS].sort()).toEqual([...JournalKind.options].sort())
    expect(new Set(ALL_KINDS.map((kind) => kindWords(kind))).size).toBe(ALL_KINDS.length)
    expect(kindWords('heads-started', 'curd')).toBe('Curds started')
    expect(kindWords('heads-started', 'leaves')).toBe('Leaves fill out')
  })

  test('tells weights and measures as scale and tape show them', () => {
    expect(weightWords(0.85, 'm')).toBe(`850${nbsp}g`)
    expect(weightWords(1.236, 'm')).toBe(`1.24${nbsp}kg`)
    expect(weightWords(0.9996, 'm')).toBe(`1.00${nbsp}kg`)
    expect(weightWords(0.45359237 * 2, 'ft')).toBe(`2${nbsp}lb`)
    expect(weightWords(0.85, 'ft')).toBe(`1${nbsp}lb 14${nbsp}oz`)
    expect(weightWords(0.2, 'ft')).toBe(`7.1${nbsp}oz`)
    // 15.98 oz is a pound, not 16.0 oz
    expect(weightWords(0.453, 'ft')).toBe(`1${nbsp}lb`)
    expect(stemWords(12.7, 'm')).toBe(`12.7${nbsp}mm`)
    expect(stemWords(12.7, 'ft')).toBe(`0.50${nbsp}in`)
    expect(acrossWords(180, 'm')).toBe(`18${nbsp}cm`)
    expect(acrossWords(200, 'm')).toBe(`20${nbsp}cm`)
    expect(acrossWords(180, 'ft')).toBe(`7.1${nbsp}in`)
  })

  test('says an entry in one sentence of what was', () => {
    const say = (entry: Parameters<typeof entrySentence>[0]) => entrySentence(entry, 'm')
    expect(say({ kind: 'fed', what: 'nettle tea' })).toBe('Fed with nettle tea.')
    expect(say({ kind: 'planted-out', plants: 9 })).toBe('Planted out 9 plants.')
    expect(say({ kind: 'cut', plants: 2, weightKg: 2.4, diameterMm: 180 })).toBe(
      `Cut 2 plants, 2.40${nbsp}kg in all, 18${nbsp}cm across.`,
    )
    expect(say({ kind: 'cut', plants: 1, weightKg: 0.8 })).toBe(`Cut 1 plant, 800${nbsp}g.`)
    expect(say({ kind: 'firmness', firmness: 'giving' })).toBe('Heads felt giving.')
    expect(say({ kind: 'pests-seen', what: 'cabbage whites', plants: 3 })).toBe(
      'Saw cabbage whites on 3 plants.',
    )
    expect(say({ kind: 'lost', plants: 1, what: 'slugs' })).toBe('Lost 1 plant to slugs.')
    expect(say({ kind: 'bolted' })).toBe('Bolted.')
    for (const kind of ALL_KINDS) expect(say({ kind })).toMatch(/^[A-Z][^.]*\.$/)
  })
})

describe('typed text into an entry', () => {
  const read = (kind: JournalKind, typed: Record<string, string>, unit: 'm' | 'ft' = 'm') =>
    readTyped(kind, { on: '2027-03-28', ...typed }, NO_PLACE, unit, null)

  test('takes commas, and turns the reader’s measures into kg and mm', () => {
    expect(read('cut', { plants: '2', weightKg: '1,5', diameterMm: '18' }).input).toMatchObject({
      plants: 2,
      weightKg: 1.5,
      diameterMm: 180,
    })
    const pounds = read('cut', { weightKg: '3', diameterMm: '7' }, 'ft').input
    expect(pounds.weightKg).toBeCloseTo(1.360777, 5)
    expect(pounds.diameterMm).toBeCloseTo(177.8, 9)
    expect(read('stem-thickness', { stemMm: '.5' }, 'ft').input.stemMm).toBeCloseTo(12.7, 9)
  })

  test('leaves a figure that was not touched as it was, however it is shown', () => {
    const before = entryOf('abcdefgh', '2027-03-20', { kind: 'cut', weightKg: 1.2345, diameterMm: 181.3 })
    const shown = typedOf(before, 'ft')
    const { input, faults } = readTyped('cut', { ...shown, plants: '3' }, NO_PLACE, 'ft', before)
    expect(faults).toEqual([])
    expect(input).toMatchObject({ plants: 3, weightKg: 1.2345, diameterMm: 181.3 })
  })

  test('tells each fault at its field', () => {
    const faults = (kind: JournalKind, typed: Record<string, string>) =>
      read(kind, typed).faults.map((fault) => fault.field)
    expect(faults('cut', { plants: 'two', weightKg: '-1' })).toEqual(['plants', 'weightKg'])
    expect(faults('cut', { plants: '1.5' })).toEqual(['plants'])
    expect(faults('firmness', {})).toEqual(['firmness'])
    expect(faults('stem-thickness', {})).toEqual(['stemMm'])
    expect(faults('stem-thickness', { stemMm: 'thick' })).toEqual(['stemMm'])
    expect(faults('note', { note: '  ' })).toEqual(['note'])
    expect(faults('fed', { on: '2027-02-30' })).toEqual(['on'])
    expect(faults('cut', {})).toEqual([])
  })

  test('says nothing that its kind has no field for, and always what the wire takes', () => {
    const all = {
      plants: '2',
      firmness: 'firm',
      stemMm: '8',
      weightKg: '1',
      diameterMm: '15',
      what: 'x',
      note: 'y',
    }
    for (const kind of ALL_KINDS) {
      const { input } = read(kind, all)
      expect(JournalInput.parse(input)).toEqual(input)
      const said = (['plants', 'firmness', 'stemMm', 'weightKg', 'diameterMm', 'what'] as const).filter(
        (field) => input[field] !== null,
      )
      expect(said.sort()).toEqual([...fieldsOf(kind)].sort())
    }
  })
})

describe('the likely entries', () => {
  const at = (more: Partial<Parameters<typeof likelyKinds>[0]>) =>
    likelyKinds({
      planting: { sownOn: '2027-02-01', plantedOutOn: null, finishedOn: null },
      isSownInPlace: false,
      written: [],
      stage: null,
      today: '2027-03-28',
      ...more,
    })
  const out = { sownOn: '2027-02-01', plantedOutOn: '2027-03-10', finishedOn: null }

  test('follow the season', () => {
    expect(at({ planting: { sownOn: null, plantedOutOn: '2027-05-01', finishedOn: null } })[0]).toBe('sown')
    expect(at({})[0]).toBe('emerged')
    expect(at({ written: ['emerged'] })[0]).toBe('first-leaves')
    expect(at({ written: ['emerged', 'first-leaves'] })[0]).toBe('pricked-out')
    expect(at({ written: ['hardened-off'] })).toContain('planted-out')
    expect(at({ planting: out })).toContain('netted')
    expect(at({ planting: out })).not.toContain('firmness')
    expect(at({ planting: out, written: ['heads-started'] })[0]).toBe('firmness')
    expect(at({ planting: out, stage: 'heading' })).toContain('cut')
    expect(at({ planting: { ...out, finishedOn: '2027-03-20' } })).toContain('note')
  })

  test('offer the net off only where it is on', () => {
    expect(at({ planting: out, written: ['netted'] })).toContain('net-off')
    expect(at({ planting: out, written: ['netted', 'net-off'] })).toContain('netted')
    expect(at({ planting: out, written: ['net-off', 'netted'] })).not.toContain('netted')
  })

  test('never offer one twice, and leave nothing out', () => {
    for (const written of [[], ['emerged'], ['heads-started']] as const)
      for (const planting of [out, { ...out, plantedOutOn: null }]) {
        const likely = at({ planting, written })
        const all = [...likely, ...otherKinds(likely, true)]
        expect(new Set(all).size).toBe(all.length)
        expect(all.length).toBe(ALL_KINDS.length)
      }
  })
})

describe('the journal with what waits laid over it', () => {
  const waiting = (item: Partial<OutboxItem> & Pick<OutboxItem, 'task' | 'entry' | 'seq'>): OutboxItem =>
    Object.assign({ garden: 'home', holdUntilMs: 0, isTried: false, refusal: null }, item) as OutboxItem
  const input = (note: string) => JournalInput.parse({ kind: 'note', on: '2027-03-21', note })

  test('is newest first, with what is only here among it', () => {
    const shown = shownEntries(
      [entryOf('a', '2027-03-20'), entryOf('b', '2027-03-22')],
      [waiting({ seq: 1, task: 'write', entry: 'c', input: input('here') })],
    )
    expect(shown.map((entry) => [entry.id, entry.state])).toEqual([
      ['b', 'with-hub'],
      ['c', 'waiting'],
      ['a', 'with-hub'],
    ])
  })

  test('shows changes at once, hides what is taken back, and tells of refusals', () => {
    const refusal = { message: 'no', problems: [] }
    const hub = [entryOf('a', '2027-03-20'), entryOf('b', '2027-03-20'), entryOf('c', '2027-03-20')]
    const shown = shownEntries(hub, [
      waiting({ seq: 1, task: 'change', entry: 'a', input: input('changed') }),
      waiting({ seq: 2, task: 'remove', entry: 'b' }),
      waiting({ seq: 3, task: 'change', entry: 'c', input: input('refused'), refusal }),
      waiting({ seq: 4, task: 'photo', entry: 'c', photo: 'p', mediaType: 'image/jpeg' }),
    ])
    expect(shown.map((entry) => [entry.id, entry.note, entry.state, entry.waitingPhotos.length])).toEqual(
      [
        ['a', 'changed', 'waiting', 0],
        ['c', 'refused', 'refused', 1],
      ].sort((x, y) => (x[0] === 'c' ? -1 : y[0] === 'c' ? 1 : 0)),
    )
    expect(shown.find((entry) => entry.id === 'c')?.refused).toEqual({ seq: 3, task: 'change', refusal })
  })

  test('keeps in sight a change whose entry was taken back elsewhere, with the hub’s words', () => {
    const refusal = { message: 'the entry was taken back', problems: [] }
    const change = waiting({ seq: 1, task: 'change', entry: 'a', input: input('typed here'), refusal })
    expect(shownEntries([], [change])).toMatchObject([{ id: 'a', note: 'typed here', state: 'refused' }])
  })

  test('shows once what the hub has although its answer was lost', () => {
    const item = waiting({ seq: 1, task: 'write', entry: 'a', input: input('x'), isTried: true })
    expect(shownEntries([entryOf('a', '2027-03-21')], [item]).length).toBe(1)
  })

  test('is filtered by planting and kind', () => {
    const shown = shownEntries(
      [entryOf('a', '2027-03-20', { planting: 'p' }), entryOf('b', '2027-03-20', { kind: 'cut' })],
      [],
    )
    expect(filtered(shown, { planting: 'p', kind: null }).map((e) => e.id)).toEqual(['a'])
    expect(filtered(shown, { planting: null, kind: 'cut' }).map((e) => e.id)).toEqual(['b'])
    expect(filtered(shown, { planting: 'p', kind: 'cut' })).toEqual([])
  })
})
