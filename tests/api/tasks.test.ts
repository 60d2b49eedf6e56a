/** The to-do list over the API, on a real store: what "done" writes, once; what is taken back; what is put off. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type Answer, type ApiFixture, openApi, readingsOf } from './api-fixture.js'

let api: ApiFixture
/** planted out three weeks ago in a bed whose air is measured since the year began */
let cabbage: string
beforeEach(async () => {
  api = await openApi()
  await api.setUpHome()
  cabbage = await plant({ crop: 'cabbage-early', sownOn: '2027-04-10', plantedOutOn: '2027-05-25' })
})
afterEach(() => api.close())

const TODAY = '2027-06-15'

async function plant(change: object): Promise<string> {
  const { status, body } = await api.ask('POST', 'gardens/home/plantings', {
    bed: 'long',
    variety: null,
    plants: 9,
    spacingM: 0.4,
    finishedOn: null,
    ...change,
  })
  if (status !== 201) throw new Error(JSON.stringify(body))
  return body.id
}

interface Listed {
  readonly entryStem: string
  readonly id: string
  readonly rule: string
  readonly from: string
  readonly to: string
  readonly state: string
  readonly putOffTo: string | null
  readonly why: string
}
const list = async (query = ''): Promise<{ tasks: Listed[]; notWanted: Listed[]; today: string }> =>
  (await api.ask('GET', `gardens/home/tasks${query}`)).body
const task = async (rule: string, planting = cabbage): Promise<Listed | undefined> =>
  (await list()).tasks.find((one) => one.rule === rule && one.id.startsWith(planting))
const say = (id: string, what: string, body?: object): Promise<Answer> =>
  api.ask('POST', `gardens/home/tasks/${id}/${what}`, what === 'done' ? (body ?? {}) : body)
const journal = async () => api.deps.garden.listJournal('home')

describe('the list', () => {
  it('is by date, with reasons, and goes as far ahead as it is asked to', async () => {
    const { today, tasks } = await list()
    expect(today).toBe(TODAY)
    expect(tasks.map(({ rule }) => rule)).toEqual(expect.arrayContaining(['net', 'feed']))
    expect(tasks.map(({ from }) => from)).toEqual([...tasks.map(({ from }) => from)].sort())
    const feed = await task('feed')
    expect(feed).toMatchObject({
      id: `${cabbage}.feed.1`,
      from: '2027-06-08',
      to: '2027-06-12',
      state: 'overdue',
    })
    expect(feed!.why).toContain('every 14 days')
    await plant({ crop: 'spinach', sownOn: '2027-09-01', plantedOutOn: null })
    expect((await list()).tasks.map(({ rule }) => rule)).not.toContain('sow')
    expect((await list('?until=2027-09-30')).tasks.map(({ rule }) => rule)).toContain('sow')
    expect((await api.ask('GET', 'gardens/home/tasks?until=soon')).status).toBe(400)
  })

  it('is empty for a garden in which nothing grows, and forgets what is finished', async () => {
    const { id, ...planting } = (await api.ask('GET', `gardens/home/plantings/${cabbage}`)).body
    const finished = await api.ask('PUT', `gardens/home/plantings/${id}`, { ...planting, finishedOn: TODAY })
    expect(finished.status).toBe(200)
    expect(await list()).toEqual({ today: TODAY, tasks: [], notWanted: [] })
  })

  it('names pests by the garden’s own degree days', async () => {
    // 4 to 20 °C from January to now: 3.7 °C·d a day above 10 °C, 83 of them on the 23rd day
    const hourly = readingsOf(
      'air-temp',
      '2026-12-31T00:00:00Z',
      24 * 166,
      3600,
      (i) => 12 + 8 * Math.sin((i / 12) * Math.PI),
    )
    await api.store(hourly)
    const net = await task('net')
    expect(net!.why).toMatch(/the first small white butterflies have been about since 2027-01-2[1-5]/)
    expect(net!.why).toContain('Univ. Wisconsin')
  })

  it('does not guess at pests where nothing was measured, until normals are typed in', async () => {
    expect((await task('net'))!.why).toContain('Type in your region’s usual temperatures')
    await api.ask('PUT', 'gardens/home/normals', {
      source: 'typed in',
      minC: [-1, -1, 0, 3, 7, 11, 14, 14, 11, 7, 3, 0],
      maxC: [3, 3, 6, 11, 16, 20, 22, 22, 18, 12, 7, 4],
    })
    // what is kept for some minutes is looked at anew when something else of the garden changes
    await plant({ crop: 'kale', sownOn: '2027-05-01', plantedOutOn: null })
    expect((await task('net'))!.why).toContain('have been about since 2027-0')
  })
})

describe('done', () => {
  it('writes the journal once, however often it is said, and the next task follows', async () => {
    const id = `${cabbage}.feed.1`
    const [first, second] = await Promise.all([say(id, 'done'), say(id, 'done')])
    expect([first.status, second.status]).toEqual([200, 200])
    expect(first.body.entry).toMatchObject({ kind: 'fed', on: TODAY, planting: cabbage, bed: null })
    expect(second.body.entry.id).toBe(first.body.entry.id)
    expect((await say(id, 'done')).body.entry.id).toBe(first.body.entry.id)
    expect(await journal()).toHaveLength(1)
    expect(await task('feed')).toMatchObject({ id: `${cabbage}.feed.2`, from: '2027-06-29', state: 'coming' })
  })

  it('can be taken back, and done again', async () => {
    const id = `${cabbage}.feed.1`
    await say(id, 'done')
    expect((await say(id, 'undone')).status).toBe(204)
    expect(await journal()).toEqual([])
    expect((await task('feed'))!.id).toBe(id)
    const again = await say(id, 'done', { on: '2027-06-14', what: 'nettle brew' })
    expect(again.body.entry).toMatchObject({ on: '2027-06-14', what: 'nettle brew' })
    expect(await journal()).toHaveLength(1)
    expect((await say(id, 'undone')).status).toBe(204)
    expect(await say(id, 'undone')).toMatchObject({ status: 404, body: { code: 'UNKNOWN_TASK' } })
  })

  it('is written under the id that was made for it, whether it comes here or to the journal', async () => {
    const { id, entryStem } = (await task('feed'))!
    const entry = `${entryStem}a1b2c3`
    expect((await say(id, 'done', { entry: 'of-something-else-1' })).body.problems[0].field).toBe('entry')
    expect((await say(id, 'done', { entry })).body.entry.id).toBe(entry)
    // the answer was lost, so it goes to the journal: it is there
    const input = { kind: 'fed', on: TODAY, planting: cabbage }
    expect((await api.ask('POST', 'gardens/home/journal', { id: entry, ...input })).status).toBe(200)
    expect(await journal()).toHaveLength(1)
    expect((await say(id, 'undone')).status).toBe(204)
    // the hub was away, so it goes to the journal first: that too is this task done
    const later = `${entryStem}d4e5f6`
    expect((await api.ask('POST', 'gardens/home/journal', { id: later, ...input })).status).toBe(201)
    expect((await say(id, 'done', { entry: later })).body.entry.id).toBe(later)
    expect(await journal()).toHaveLength(1)
    expect((await say(id, 'undone')).status).toBe(204)
    expect(await journal()).toEqual([])
  })

  it('is still to be done when an earlier entry was taken out of the journal', async () => {
    await say(`${cabbage}.feed.1`, 'done', { on: '2027-06-01' })
    await say(`${cabbage}.feed.2`, 'done', { on: '2027-06-15' })
    const [early] = await journal()
    await api.deps.garden.removeJournal('home', early!.id, 0)
    // one feed is left: the next is the second again, whose entry is there
    expect((await task('feed'))!.id).toBe(`${cabbage}.feed.2`)
    expect((await say(`${cabbage}.feed.2`, 'done')).status).toBe(200)
    expect(await journal()).toHaveLength(2)
  })

  it('of sowing and planting out sets the planting’s date; taken back, it puts the planned one back', async () => {
    const kale = await plant({ crop: 'kale', sownOn: '2027-06-10', plantedOutOn: '2027-07-20' })
    const done = await say(`${kale}.sow.1`, 'done', { on: '2027-06-13' })
    expect(done.body).toMatchObject({
      entry: { kind: 'sown', on: '2027-06-13' },
    })
    const sownOn = async () => (await api.ask('GET', `gardens/home/plantings/${kale}`)).body.sownOn
    expect(await sownOn()).toBe('2027-06-13')
    expect(await task('sow', kale)).toBeUndefined()
    await say(`${kale}.sow.1`, 'undone')
    expect(await sownOn()).toBe('2027-06-10')
    expect(await task('sow', kale)).toMatchObject({ state: 'due' })
  })

  it('says at the field what is wrong with it', async () => {
    const id = `${cabbage}.feed.1`
    const wrong: [object, string][] = [
      [{ on: '2027-06-16' }, 'on'],
      [{ on: '2027-02-30' }, 'on'],
      [{ weightKg: -1 }, 'weightKg'],
      [{ weightKg: 1 }, 'weightKg'],
      [{ firmness: 'firm' }, 'firmness'],
      [{ plants: 1.5 }, 'plants'],
    ]
    for (const [body, field] of wrong) {
      const answer = await say(id, 'done', body)
      expect([answer.status, answer.body.problems?.[0]?.field], JSON.stringify(body)).toEqual([400, field])
    }
    expect(await journal()).toEqual([])
  })

  it('of pests writes what was seen, or that nothing was', async () => {
    await api.store(
      readingsOf(
        'air-temp',
        '2026-12-31T00:00:00Z',
        24 * 166,
        3600,
        (i) => 3 + 6 * Math.sin((i / 12) * Math.PI) + i / 700,
      ),
    )
    const looks = (await list()).tasks.filter(({ rule }) => rule === 'pests')
    expect(looks.length).toBeGreaterThan(0)
    const [look] = looks
    const { body } = await say(look!.id, 'done')
    expect(body.entry).toMatchObject({ kind: 'note', note: 'looked for pests, saw none' })
    expect((await list()).tasks.map(({ id }) => id)).not.toContain(look!.id)
    await say(look!.id, 'undone')
    expect((await say(look!.id, 'done', { what: 'yellow eggs' })).body.entry).toMatchObject({
      kind: 'pests-seen',
      what: 'yellow eggs',
    })
  })

  it('knows no task that is not there', async () => {
    for (const id of [`${cabbage}.feed.7`, 'nobody.feed.1', 'bed-long.water.1']) {
      expect(await say(id, 'done'), id).toMatchObject({ status: 404, body: { code: 'UNKNOWN_TASK' } })
      expect((await say(id, 'never')).status, id).toBe(404)
    }
    expect((await say('not-a-task', 'done')).status).toBe(400)
    expect((await api.ask('GET', 'gardens/elsewhere/tasks')).status).toBe(404)
  })
})

describe('later, and not this', () => {
  it('put a task off to a day, and that can be taken back', async () => {
    const id = `${cabbage}.feed.1`
    expect((await say(id, 'later', { untilOn: '2027-06-20' })).status).toBe(204)
    expect(await task('feed')).toMatchObject({
      from: '2027-06-20',
      to: '2027-06-20',
      state: 'coming',
      putOffTo: '2027-06-20',
    })
    expect((await api.ask('DELETE', `gardens/home/tasks/${id}/answer`)).status).toBe(204)
    expect(await task('feed')).toMatchObject({ from: '2027-06-08', state: 'overdue', putOffTo: null })
    expect((await api.ask('DELETE', `gardens/home/tasks/${id}/answer`)).status).toBe(404)
  })

  it('take only days to come', async () => {
    for (const untilOn of [TODAY, '2027-01-01', '2029-01-01', 'soon']) {
      const answer = await say(`${cabbage}.feed.1`, 'later', { untilOn })
      expect([answer.status, answer.body.problems[0].field]).toEqual([400, 'untilOn'])
    }
  })

  it('put a task out of the list, and name it so that it can come back', async () => {
    const id = `${cabbage}.net.1`
    expect((await say(id, 'never')).status).toBe(204)
    const { tasks, notWanted } = await list()
    expect(tasks.map((one) => one.id)).not.toContain(id)
    expect(notWanted.map((one) => one.id)).toEqual([id])
    await api.ask('DELETE', `gardens/home/tasks/${id}/answer`)
    expect((await list()).tasks.map((one) => one.id)).toContain(id)
  })
})
