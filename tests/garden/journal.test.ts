import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { GardenRepository } from '../../hub/garden/port.js'
import { GARDEN_MIGRATIONS } from '../../hub/garden/sqlite/schema.js'
import { openSqliteGarden } from '../../hub/garden/sqlite-garden.js'
import { migrate } from '../../hub/sqlite/migrate.js'
import { JournalInput } from '../../shared/api/journal.js'

const HOME = {
  name: 'Home',
  latitudeDeg: 55.7,
  longitudeDeg: 12.5,
  elevationM: 0,
  timeZone: 'Europe/Copenhagen',
}
const BED = { name: 'South', kind: 'raised', lengthM: 2, widthM: 1, depthM: 0.3 } as const
const PLANTING = {
  bed: 'south',
  crop: 'cabbage-early',
  variety: null,
  sownOn: '2027-03-05',
  plantedOutOn: '2027-04-20',
  plants: 8,
  spacingM: 0.4,
  finishedOn: null,
}
const NOW_MS = Date.parse('2027-06-15T12:00:00Z')

let dataDir: string
let garden: GardenRepository
let planting: string

beforeEach(async () => {
  dataDir = await mkdtemp(join(tmpdir(), 'hearting-journal-'))
  garden = await openSqliteGarden({ dataDir })
  await garden.putGarden('home', HOME)
  await garden.putBed('home', 'south', BED)
  planting = (await garden.addPlanting('home', PLANTING)).id
})
afterEach(async () => {
  await garden.close()
  await rm(dataDir, { recursive: true, force: true })
})

const input = (kind: string, on: string, parts: object = {}): JournalInput =>
  JournalInput.parse({ kind, on, planting, ...parts })
const write = (id: string, kind: string, on: string, parts: object = {}) =>
  garden.writeJournal('home', id, input(kind, on, parts), NOW_MS)
const dates = async () => {
  const { sownOn, plantedOutOn } = (await garden.getPlanting('home', planting))!
  return [sownOn, plantedOutOn]
}

describe('the journal', () => {
  it('is kept by date, then as it was written, and found by planting, bed and dates', async () => {
    await garden.putBed('home', 'wall', { ...BED, name: 'Wall' })
    await write('cut-first', 'cut', '2027-06-14', { plants: 2, weightKg: 2.3, diameterMm: 150 })
    await garden.writeJournal(
      'home',
      'bed-watered',
      input('watered', '2027-05-02', { planting: null, bed: 'wall' }),
      5,
    )
    await garden.writeJournal('home', 'z-earlier', input('fed', '2027-05-01', { what: 'nettle brew' }), 1)
    await garden.writeJournal('home', 'a-later-one', input('weeded', '2027-05-01'), 2)
    const ids = async (filter = {}) => (await garden.listJournal('home', filter)).map(({ id }) => id)
    expect(await ids()).toEqual(['z-earlier', 'a-later-one', 'bed-watered', 'cut-first'])
    expect(await ids({ planting })).toEqual(['z-earlier', 'a-later-one', 'cut-first'])
    expect(await ids({ bed: 'wall' })).toEqual(['bed-watered'])
    expect(await ids({ bed: 'south' })).toHaveLength(3)
    expect(await ids({ from: '2027-05-02', to: '2027-06-14' })).toEqual(['bed-watered', 'cut-first'])
    expect(await garden.getJournalEntry('home', 'cut-first')).toEqual({
      ...input('cut', '2027-06-14', { plants: 2, weightKg: 2.3, diameterMm: 150 }),
      id: 'cut-first',
      photos: [],
      writtenAt: '2027-06-15T12:00:00.000Z',
    })
  })

  it('takes an id once, and never again once it was taken back', async () => {
    expect((await write('entry-001', 'weeded', '2027-05-01')).state).toBe('new')
    const again = await write('entry-001', 'fed', '2027-05-09')
    expect(again).toMatchObject({ state: 'known', entry: { kind: 'weeded' } })
    expect(await garden.removeJournal('home', 'entry-001', NOW_MS)).toBe(true)
    expect(await garden.removeJournal('home', 'entry-001', NOW_MS)).toBe(false)
    expect(await write('entry-001', 'weeded', '2027-05-01')).toEqual({ state: 'removed' })
    // taken back before it arrived
    expect(await garden.removeJournal('home', 'entry-002', NOW_MS)).toBe(false)
    expect(await write('entry-002', 'weeded', '2027-05-01')).toEqual({ state: 'removed' })
    expect(await garden.listJournal('home')).toEqual([])
  })

  it('of one garden does not take an id of another', async () => {
    await garden.putGarden('plot', { ...HOME, name: 'Plot' })
    await write('entry-001', 'weeded', '2027-05-01')
    const elsewhere = garden.writeJournal(
      'plot',
      'entry-001',
      input('note', '2027-05-01', { planting: null }),
      1,
    )
    await expect(elsewhere).rejects.toMatchObject({ code: 'ID_TAKEN' })
    expect(await garden.getJournalEntry('plot', 'entry-001')).toBeNull()
  })

  it('is of plantings and beds that exist', async () => {
    const lost = garden.writeJournal('home', 'entry-001', { ...input('fed', '2027-05-01'), planting: 'x' }, 1)
    await expect(lost).rejects.toMatchObject({ code: 'UNKNOWN_PLANTING', field: 'planting' })
    const astray = write('entry-001', 'fed', '2027-05-01', { planting: null, bed: 'x' })
    await expect(astray).rejects.toMatchObject({ code: 'UNKNOWN_BED', field: 'bed' })
    expect(await garden.changeJournal('home', 'entry-001', input('fed', '2027-05-01'))).toBeNull()
  })
})

describe('what is sown and planted out', () => {
  it('sets the date of the planting, the earliest first, and gives it back', async () => {
    await write('sown-late', 'sown', '2027-03-12')
    expect(await dates()).toEqual(['2027-03-12', '2027-04-20'])
    await write('sown-again', 'sown', '2027-03-20')
    expect(await dates()).toEqual(['2027-03-12', '2027-04-20'])
    await garden.removeJournal('home', 'sown-late', NOW_MS)
    expect(await dates()).toEqual(['2027-03-20', '2027-04-20'])
    await garden.changeJournal('home', 'sown-again', input('sown', '2027-03-18'))
    expect(await dates()).toEqual(['2027-03-18', '2027-04-20'])
    // it was something else after all
    await garden.changeJournal('home', 'sown-again', input('watered', '2027-03-18'))
    expect(await dates()).toEqual(['2027-03-05', '2027-04-20'])
  })

  it('leaves a date that the grower typed since', async () => {
    await write('out-early', 'planted-out', '2027-04-11')
    await garden.changePlanting('home', planting, { ...PLANTING, plantedOutOn: '2027-04-13' })
    await garden.removeJournal('home', 'out-early', NOW_MS)
    expect(await dates()).toEqual(['2027-03-05', '2027-04-13'])
  })

  it('does not give back a plan that has been overtaken', async () => {
    await garden.changePlanting('home', planting, { ...PLANTING, sownOn: '2027-04-15' })
    await write('sown-early', 'sown', '2027-03-01')
    await write('out-early', 'planted-out', '2027-04-11')
    await garden.removeJournal('home', 'sown-early', NOW_MS)
    expect(await dates()).toEqual(['2027-03-01', '2027-04-11'])
  })

  it('is not taken out of order, and nothing of it stays', async () => {
    await expect(write('out-early', 'planted-out', '2027-03-01')).rejects.toMatchObject({
      code: 'OUT_OF_ORDER',
      field: 'on',
    })
    expect(await garden.listJournal('home')).toEqual([])
    expect(await dates()).toEqual(['2027-03-05', '2027-04-20'])
  })
})

describe('what the journal says of stages', () => {
  const seen = async () => (await garden.listObservations('home', planting)).map((o) => [o.seen, o.on])

  it('is what was seen, and that heads felt firm', async () => {
    await write('entry-001', 'firmness', '2027-06-10', { firmness: 'giving' })
    await write('entry-002', 'firmness', '2027-06-14', { firmness: 'firm', note: 'four' })
    await write('entry-003', 'heads-started', '2027-05-25')
    await write('entry-004', 'fed', '2027-05-25')
    await write('entry-005', 'cut', '2027-06-15')
    expect(await seen()).toEqual([
      ['heads-started', '2027-05-25'],
      ['firm', '2027-06-14'],
    ])
    expect((await garden.listObservations('home'))[1]).toEqual({
      id: 'entry-002',
      planting,
      seen: 'firm',
      on: '2027-06-14',
      note: 'four',
    })
  })

  it('is the first cut where nothing felt firm before it', async () => {
    await write('entry-001', 'cut', '2027-06-12')
    await write('entry-002', 'cut', '2027-06-14')
    await write('entry-003', 'firmness', '2027-06-13', { firmness: 'firm' })
    expect(await seen()).toEqual([
      ['firm', '2027-06-12'],
      ['firm', '2027-06-13'],
    ])
    const other = (await garden.addPlanting('home', { ...PLANTING, crop: 'broccoli' })).id
    await garden.writeJournal('home', 'entry-004', { ...input('bolted', '2027-06-01'), planting: other }, 1)
    expect((await garden.listObservations('home')).map((o) => o.id)).toEqual([
      'entry-004',
      'entry-001',
      'entry-003',
    ])
  })
})

describe('plantings and beds with a journal', () => {
  it('are not deleted by the way', async () => {
    await write('entry-001', 'weeded', '2027-05-01')
    await write('entry-002', 'fed', '2027-05-01')
    const refused = garden.deletePlanting('home', planting, { withJournal: false, atMs: 5_000 })
    await expect(refused).rejects.toMatchObject({ code: 'STILL_USED' })
    await expect(refused).rejects.toThrow('2 entries')
    expect(await garden.deletePlanting('home', planting, { withJournal: true, atMs: 5_000 })).toBe(true)
    expect(await garden.listJournal('home')).toEqual([])
    // a phone may still send one of them
    expect(await garden.isJournalRemoved('home', 'entry-002')).toBe(true)

    await garden.writeJournal(
      'home',
      'entry-003',
      input('fed', '2027-05-01', { planting: null, bed: 'south' }),
      1,
    )
    await expect(garden.deleteBed('home', 'south')).rejects.toThrow('1 entry')
    await garden.removeJournal('home', 'entry-003', NOW_MS)
    expect(await garden.deleteBed('home', 'south')).toBe(true)
  })
})

it('answers to tasks go with the planting or bed they are of', async () => {
  const answer = (task: string) => garden.putTaskAnswer('home', { task, untilOn: null, answeredAtMs: 1 })
  for (const task of [`${planting}.feed.1`, `${planting}0.feed.1`, 'bed-south.water.1', 'bed-south2.water.1'])
    await answer(task)
  await garden.deletePlanting('home', planting, { withJournal: false, atMs: 5_000 })
  await garden.deleteBed('home', 'south')
  expect((await garden.taskAnswers('home')).map(({ task }) => task)).toEqual(
    ['bed-south2.water.1', `${planting}0.feed.1`].sort(),
  )
})

describe('photos', () => {
  const photo = (id: string, bytes = [1, 2, 3]) =>
    ({ id, mediaType: 'image/png', image: Uint8Array.from(bytes) }) as const

  it('are kept byte by byte with their entry, six of them, and go with it', async () => {
    await write('entry-001', 'pests-seen', '2027-05-01')
    expect(await garden.putJournalPhoto('home', 'entry-001', photo('photo-001', [9, 0, 255]))).toBe(true)
    expect(await garden.putJournalPhoto('home', 'entry-001', photo('photo-001'))).toBe(true)
    const kept = await garden.journalPhoto('home', 'entry-001', 'photo-001')
    expect(kept?.mediaType).toBe('image/png')
    expect([...(kept?.image ?? [])]).toEqual([9, 0, 255])
    for (let i = 2; i <= 6; i++) await garden.putJournalPhoto('home', 'entry-001', photo(`photo-00${i}`))
    expect((await garden.getJournalEntry('home', 'entry-001'))?.photos).toContainEqual({
      id: 'photo-006',
      mediaType: 'image/png',
      bytes: 3,
    })
    await expect(garden.putJournalPhoto('home', 'entry-001', photo('photo-007'))).rejects.toMatchObject({
      code: 'TOO_MANY_PHOTOS',
    })
    await write('entry-002', 'weeded', '2027-05-01')
    await expect(garden.putJournalPhoto('home', 'entry-002', photo('photo-001'))).rejects.toMatchObject({
      code: 'ID_TAKEN',
    })
    expect(await garden.putJournalPhoto('home', 'entry-009', photo('photo-008'))).toBe(false)
    expect(await garden.deleteJournalPhoto('home', 'entry-002', 'photo-001')).toBe(false)
    expect(await garden.deleteJournalPhoto('home', 'entry-001', 'photo-001')).toBe(true)
    await garden.removeJournal('home', 'entry-001', NOW_MS)
    expect(await garden.journalPhoto('home', 'entry-001', 'photo-002')).toBeNull()
  })
})

describe('answers to tasks and calendar links', () => {
  it('replace, list and go', async () => {
    await garden.putTaskAnswer('home', { task: 'feed-a', untilOn: '2027-06-20', answeredAtMs: 1 })
    await garden.putTaskAnswer('home', { task: 'feed-a', untilOn: null, answeredAtMs: 2 })
    expect(await garden.taskAnswers('home')).toEqual([{ task: 'feed-a', untilOn: null, answeredAtMs: 2 }])
    expect(await garden.deleteTaskAnswer('home', 'feed-a')).toBe(true)
    expect(await garden.deleteTaskAnswer('home', 'feed-a')).toBe(false)

    const link = { id: 'link-1', name: 'phone', digest: 'ab', createdAtMs: 3 }
    await garden.addCalendarLink('home', link)
    expect(await garden.calendarLinks('home')).toEqual([link])
    expect(await garden.deleteCalendarLink('home', 'link-1')).toBe(true)
    expect(await garden.calendarLinks('home')).toEqual([])
  })
})

describe('a garden from before there was a journal', () => {
  it('has in it what was seen then', async () => {
    const old = await mkdtemp(join(tmpdir(), 'hearting-journal-old-'))
    const db = new Database(join(old, 'garden.sqlite'))
    migrate(
      db,
      GARDEN_MIGRATIONS.filter(({ version }) => version <= 5),
    )
    db.exec(`
      INSERT INTO gardens VALUES ('home', 'Home', 55.7, 12.5, 0, 'Europe/Copenhagen');
      INSERT INTO beds VALUES ('home', 'south', 'South', 'raised', 2, 1, 0.3);
      INSERT INTO plantings VALUES ('p-1', 'home', 'south', 'cabbage-early', NULL, NULL, '2027-04-10', 8, 0.4, NULL);
      INSERT INTO observations VALUES ('mi3v0c2k-9f2c41d8', 'home', 'p-1', 'heads-started', '2027-06-01', 'two of eight');
      INSERT INTO observations VALUES ('mi3v0c2l-00000001', 'home', 'p-1', 'firm', '2027-06-20', NULL);
    `)
    db.close()
    const opened = await openSqliteGarden({ dataDir: old })
    try {
      expect(await opened.listJournal('home', { planting: 'p-1' })).toMatchObject([
        {
          id: 'mi3v0c2k-9f2c41d8',
          kind: 'heads-started',
          on: '2027-06-01',
          note: 'two of eight',
          firmness: null,
        },
        {
          kind: 'firmness',
          on: '2027-06-20',
          firmness: 'firm',
          note: null,
          writtenAt: '2027-06-20T00:00:00.000Z',
        },
      ])
      expect((await opened.listObservations('home', 'p-1')).map(({ seen, on }) => [seen, on])).toEqual([
        ['heads-started', '2027-06-01'],
        ['firm', '2027-06-20'],
      ])
    } finally {
      await opened.close()
      await rm(old, { recursive: true })
    }
  })
})

describe('a phone that sends again and again', () => {
  const IDS = ['entry-aaa', 'entry-bbb', 'entry-ccc']
  const DAYS = ['2027-05-01', '2027-05-02', '2027-05-03']
  type Step = { readonly what: 'post' | 'put' | 'delete'; readonly id: string; readonly day: string }
  const step: fc.Arbitrary<Step> = fc.record({
    what: fc.constantFrom('post' as const, 'post' as const, 'put' as const, 'delete' as const),
    id: fc.constantFrom(...IDS),
    day: fc.constantFrom(...DAYS),
  })
  const take = async (home: string, { what, id, day }: Step): Promise<void> => {
    const content = JournalInput.parse({ kind: 'note', on: day })
    if (what === 'post') await garden.writeJournal(home, `${home}-${id}`, content, NOW_MS)
    else if (what === 'put') await garden.changeJournal(home, `${home}-${id}`, content)
    else await garden.removeJournal(home, `${home}-${id}`, NOW_MS)
  }

  it('loses nothing, doubles nothing, and brings nothing back', async () => {
    let run = 0
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(step, fc.integer({ min: 1, max: 3 })), { maxLength: 14 }),
        // late copies of what was posted before: where (as a part of what is left), of which
        fc.array(fc.tuple(fc.nat(), fc.nat()), { maxLength: 6 }),
        async (planned, late) => {
          const home = `g${run++}`
          await garden.putGarden(home, HOME)
          // each several times, as when answers are lost
          const steps = planned.flatMap(([one, times]) => Array.from({ length: times }, () => one))
          const sent = [...steps]
          for (const [where, which] of late) {
            const at = where % (sent.length + 1)
            const posted = sent.slice(0, at).filter(({ what }) => what === 'post')
            if (posted.length > 0) sent.splice(at, 0, posted[which % posted.length]!)
          }
          for (const one of sent) await take(home, one)

          // what each entry must be, from the steps without their copies
          const expected = new Map<string, string>()
          const gone = new Set<string>()
          for (const { what, id, day } of planned.map(([one]) => one)) {
            if (what === 'delete') gone.add(id)
            else if (what === 'put' ? expected.has(id) : !expected.has(id)) expected.set(id, day)
          }
          for (const id of gone) expected.delete(id)
          const kept = await garden.listJournal(home)
          expect(kept.map(({ id, on }) => [id, on]).sort()).toEqual(
            [...expected].map(([id, day]) => [`${home}-${id}`, day]).sort(),
          )
        },
      ),
      { numRuns: 40 },
    )
  })
})
