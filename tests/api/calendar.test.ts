/** The to-do list as a calendar file, read by a calendar client's library as a subscribed calendar would be. */
import ICAL from 'ical.js'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { createTaskCalendar } from '../../hub/api/task-calendar.js'
import type { Task } from '../../hub/core/tasks/task.js'
import type { Garden } from '../../shared/api/garden.js'
import { type ApiFixture, COPENHAGEN, NOW_MS, openApi } from './api-fixture.js'

interface Event {
  readonly uid: string
  readonly summary: string
  readonly description: string
  readonly start: string
  /** exclusive */
  readonly end: string
  readonly isDate: boolean
  readonly sequence: number
  readonly stampMs: number
  readonly changedMs: number
  readonly url: string | null
}

function parsed(text: string): { calendar: ICAL.Component; events: Event[] } {
  const calendar = new ICAL.Component(ICAL.parse(text))
  const events = calendar.getAllSubcomponents('vevent').map((component): Event => {
    const event = new ICAL.Event(component)
    const time = (name: string): number =>
      (component.getFirstPropertyValue(name) as ICAL.Time).toJSDate().getTime()
    return {
      uid: event.uid,
      summary: event.summary,
      description: event.description,
      start: event.startDate.toString(),
      end: event.endDate.toString(),
      isDate: event.startDate.isDate && event.endDate.isDate,
      sequence: Number(component.getFirstPropertyValue('sequence')),
      stampMs: time('dtstamp'),
      changedMs: time('last-modified'),
      url: component.getFirstPropertyValue('url') as string | null,
    }
  })
  return { calendar, events }
}

const GARDEN: Garden = { id: 'home', ...COPENHAGEN }
const TODAY = '2027-06-15'

const task = (change: Partial<Task> = {}): Task => ({
  id: 'p1.feed.1',
  rule: 'feed',
  planting: 'p1',
  bed: 'long',
  what: 'Feed the early cabbage',
  why: 'In growth it is fed every 14 days.',
  how: 'Water first.',
  from: '2027-06-20',
  to: '2027-06-24',
  journal: 'fed',
  asks: null,
  ...change,
})

describe('a calendar file', () => {
  let nowMs = NOW_MS
  let calendarOf: ReturnType<typeof createTaskCalendar>
  beforeEach(() => {
    nowMs = NOW_MS
    calendarOf = createTaskCalendar(() => nowMs)
  })
  const file = (tasks: readonly Task[], change: Partial<Parameters<typeof calendarOf>[0]> = {}) =>
    calendarOf({
      garden: GARDEN,
      gardenUuid: '0b8f2f3e-6a55-4c7c-9d4e-111111111111',
      list: { today: TODAY, open: tasks.map((one) => ({ task: one, putOffTo: null })), never: [] },
      bedName: () => 'Long bed',
      publicUrl: null,
      ...change,
    })
  const events = (...tasks: readonly Task[]): Event[] => parsed(file(tasks).text).events

  it('has an all-day event for each task, by the garden’s dates, its last day included', () => {
    expect(events(task())).toEqual([
      {
        uid: 'p1.feed.1@0b8f2f3e-6a55-4c7c-9d4e-111111111111',
        summary: 'Feed the early cabbage (Long bed)',
        description: 'In growth it is fed every 14 days.\n\nWater first.',
        start: '2027-06-20',
        end: '2027-06-25',
        isDate: true,
        sequence: expect.any(Number),
        stampMs: NOW_MS,
        changedMs: NOW_MS,
        url: null,
      },
    ])
    expect(file([task()]).text).toContain('DTSTART;VALUE=DATE:20270620\r\nDTEND;VALUE=DATE:20270625\r\n')
  })

  it('names itself, says how often to look again, and keeps nobody busy', () => {
    const { text } = file([task()])
    const { calendar } = parsed(text)
    expect(calendar.getFirstPropertyValue('version')).toBe('2.0')
    expect(calendar.getFirstPropertyValue('x-wr-calname')).toBe('Allotment 12: to do')
    expect(String(calendar.getFirstPropertyValue('refresh-interval'))).toBe('PT3H')
    expect(text).toContain('TRANSP:TRANSPARENT')
    expect(text.endsWith('END:VCALENDAR\r\n')).toBe(true)
  })

  it('folds lines at 75 octets at most, ends each with CR LF, and loses no letter', () => {
    const long = `Fütterung — ${'Ammoniak, Stärke; „Dünger“ \\ '.repeat(12)}🥬🥬🥬`
    const { text } = file([task({ why: long, what: long })])
    for (const line of text.split('\r\n')) {
      expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75)
      expect(line).not.toMatch(/[\r\n]/)
    }
    const [event] = parsed(text).events
    expect(event!.description).toBe(`${long}\n\nWater first.`)
    expect(event!.summary).toBe(`${long} (Long bed)`)
  })

  it('lets nothing out of its place: names with line breaks, commas and control characters', () => {
    const name = 'Plot\r\nBEGIN:VEVENT, the; \\ one\u0007'
    const { text } = file([task({ what: name })], { garden: { ...GARDEN, name } })
    const { calendar, events: found } = parsed(text)
    expect(found).toHaveLength(1)
    // the library does not know this property to be text, and leaves what is escaped
    expect(calendar.getFirstPropertyValue('x-wr-calname')).toMatch(/BEGIN:VEVENT\\, the\\; \\\\ one/)
    expect(found[0]!.summary).toContain('BEGIN:VEVENT, the; \\ one')
    // biome-ignore lint/suspicious/noControlCharactersInRegex: none may be there
    expect(text).not.toMatch(/[\u0000-\u0009\u000b\u000c\u000e-\u001f]/)
  })

  it('moves a task and never doubles it: same UID, higher sequence, later stamps', () => {
    const [before] = events(task(), task({ id: 'p1.net.1', rule: 'net' }))
    nowMs += 3_600_000
    const [moved, other, ...more] = events(
      task({ from: '2027-06-22', to: '2027-06-26' }),
      task({ id: 'p1.net.1', rule: 'net' }),
    )
    expect(more).toEqual([])
    expect(moved).toMatchObject({ uid: before!.uid, start: '2027-06-22' })
    expect(moved!.sequence).toBeGreaterThan(before!.sequence)
    expect([moved!.stampMs, moved!.changedMs]).toEqual([nowMs, nowMs])
    // what did not change says so
    expect(other).toMatchObject({ stampMs: NOW_MS, sequence: before!.sequence })
  })

  it('goes on counting revisions within a second, and after the hub has started anew', () => {
    const [first] = events(task())
    const [second] = events(task({ to: '2027-06-25' }))
    const [third] = events(task({ to: '2027-06-26' }))
    expect([second!.sequence - first!.sequence, third!.sequence - first!.sequence]).toEqual([1, 2])
    nowMs += 60_000
    calendarOf = createTaskCalendar(() => nowMs)
    const [renewed] = events(task({ to: '2027-06-27' }))
    expect(renewed!.sequence).toBeGreaterThan(third!.sequence)
    expect(renewed!.sequence).toBeLessThan(2 ** 31)
  })

  it('is the same to the byte while nothing changes', () => {
    const before = file([task()])
    nowMs += 3_600_000
    expect(file([task()])).toEqual(before)
    expect(file([task({ why: 'otherwise' })]).etag).not.toBe(before.etag)
  })

  it('shows what is overdue today, and says since when', () => {
    const [event] = events(task({ from: '2027-06-01', to: '2027-06-05' }))
    expect(event).toMatchObject({
      start: TODAY,
      end: '2027-06-16',
      description: expect.stringMatching(/^It was to be done by 2027-06-05\./),
    })
  })

  it('drops what is done', () => {
    expect(events(task(), task({ id: 'p1.net.1' }))).toHaveLength(2)
    expect(events(task({ id: 'p1.net.1' })).map(({ uid }) => uid)).toEqual([
      expect.stringMatching(/^p1\.net\.1@/),
    ])
  })

  it('points to the planting’s page where the page’s address is known', () => {
    const { text } = file([task(), task({ id: 'bed-long.water.1', planting: null })], {
      publicUrl: 'https://garden.example',
    })
    expect(parsed(text).events.map(({ url }) => url)).toEqual([
      'https://garden.example/plantings/p1',
      'https://garden.example/to-do',
    ])
  })
})

describe('GET calendar.ics', () => {
  let api: ApiFixture
  beforeEach(async () => {
    api = await openApi()
    await api.setUpHome()
  })
  afterEach(() => api.close())

  const plant = async (): Promise<string> =>
    (
      await api.ask('POST', 'gardens/home/plantings', {
        bed: 'long',
        crop: 'cabbage-early',
        sownOn: '2027-04-10',
        plantedOutOn: '2027-06-20',
        plants: 9,
        spacingM: 0.4,
      })
    ).body.id
  const fetched = (headers: Record<string, string> = {}) =>
    api.app.inject({ url: '/api/v1/gardens/home/calendar.ics', headers })

  it('is a calendar with every task that the list has', async () => {
    await plant()
    const response = await fetched()
    expect(response.headers).toMatchObject({
      'content-type': 'text/calendar; charset=utf-8',
      'cache-control': 'private, no-cache',
    })
    const { tasks } = (await api.ask('GET', 'gardens/home/tasks?until=2028-06-15')).body
    const uids = parsed(response.body).events.map(({ uid }) => uid.split('@')[0])
    expect(uids).toEqual(tasks.map(({ id }: { id: string }) => id))
    expect(uids.length).toBeGreaterThan(2)
  })

  it('says that nothing changed to whoever has it already', async () => {
    const planting = await plant()
    const { headers } = await fetched()
    const etag = String(headers.etag)
    for (const sent of [etag, `W/${etag}`, `"other", ${etag}`, '*']) {
      const again = await fetched({ 'if-none-match': sent })
      expect([again.statusCode, again.body]).toEqual([304, ''])
    }
    expect((await fetched({ 'if-none-match': '"other"' })).statusCode).toBe(200)
    // planting out moves: so do the tasks that hang on it, under the same UIDs
    const before = parsed((await fetched()).body).events
    const { id, ...input } = (await api.ask('GET', `gardens/home/plantings/${planting}`)).body
    await api.ask('PUT', `gardens/home/plantings/${id}`, { ...input, plantedOutOn: '2027-06-24' })
    const after = await fetched({ 'if-none-match': etag })
    expect(after.statusCode).toBe(200)
    const moved = parsed(after.body).events
    expect(moved.map(({ uid }) => uid).sort()).toEqual(before.map(({ uid }) => uid).sort())
    for (const event of moved) {
      const was = before.find(({ uid }) => uid === event.uid)!
      if (was.start === event.start && was.end === event.end) continue
      expect(event.sequence, event.uid).toBeGreaterThan(was.sequence)
    }
    expect(moved.find(({ uid }) => uid.includes('.plant-out.'))!.start).toBe('2027-06-24')
  })

  it('loses a task when it is done, and gets it back when that is taken back', async () => {
    const planting = await plant()
    const id = `${planting}.harden-off.1`
    const has = async () => parsed((await fetched()).body).events.some(({ uid }) => uid.startsWith(id))
    expect(await has()).toBe(true)
    await api.ask('POST', `gardens/home/tasks/${id}/done`, {})
    expect(await has()).toBe(false)
    await api.ask('POST', `gardens/home/tasks/${id}/undone`)
    expect(await has()).toBe(true)
  })

  it('is an empty calendar in a garden where nothing grows, and none in a garden that is not', async () => {
    const { calendar, events } = parsed((await fetched()).body)
    expect([calendar.name, events]).toEqual(['vcalendar', []])
    expect((await api.ask('GET', 'gardens/elsewhere/calendar.ics')).status).toBe(404)
  })
})
