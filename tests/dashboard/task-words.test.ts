import { describe, expect, it } from 'vitest'
import { told } from '../../dashboard/src/format/told.js'
import {
  byPressure,
  dueWords,
  groupOf,
  summaryWords,
  whenWords,
} from '../../dashboard/src/tasks/task-words.js'
import type { Task } from '../../shared/api/tasks.js'

const TODAY = '2027-06-15'

function task(from: string, to: string, change: Partial<Task> = {}): Task {
  return {
    id: `p1.feed.${from}`,
    rule: 'feed',
    planting: 'p1',
    bed: 'long',
    what: 'Feed the kale',
    why: '',
    how: '',
    from,
    to,
    state: TODAY < from ? 'coming' : TODAY <= to ? 'due' : 'overdue',
    journal: 'fed',
    asks: null,
    putOffTo: null,
    entryStem: 'task-1-',
    ...change,
  }
}

describe('the to-do list in words', () => {
  it('groups by when a task begins', () => {
    expect(
      ['2027-06-01', TODAY, '2027-06-16', '2027-06-22', '2027-06-23'].map((from) => groupOf({ from }, TODAY)),
    ).toEqual(['now', 'now', 'week', 'week', 'later'])
  })

  it('says when', () => {
    expect(whenWords(task('2027-06-01', '2027-06-05'), TODAY)).toBe('overdue: was to be done by Sat 5 Jun')
    expect(whenWords(task('2027-06-10', '2027-06-19'), TODAY)).toBe('by Sat 19 Jun')
    expect(whenWords(task('2027-06-10', TODAY), TODAY)).toBe('today')
    expect(whenWords(task('2027-06-17', '2027-06-19'), TODAY)).toBe('from Thu 17 Jun to Sat 19 Jun')
    expect(whenWords(task('2027-06-18', '2027-06-18'), TODAY)).toBe('on Fri 18 Jun')
    expect(whenWords(task('2027-06-18', '2027-06-18', { putOffTo: '2027-06-18' }), TODAY)).toBe(
      'put off to Fri 18 Jun',
    )
  })

  it('puts what presses first: due by its last day, then what is lately overdue', () => {
    const list = [
      task('2027-06-20', '2027-06-21'),
      task('2027-04-01', '2027-04-04'),
      task('2027-06-05', '2027-06-10'),
      task('2027-06-10', '2027-06-19'),
      task('2027-06-12', '2027-06-16'),
    ]
    expect(list.sort(byPressure).map(({ to }) => to)).toEqual([
      '2027-06-16',
      '2027-06-19',
      '2027-06-10',
      '2027-04-04',
      '2027-06-21',
    ])
  })

  it('sums up', () => {
    const now = task(TODAY, TODAY)
    const soon = task('2027-06-18', '2027-06-20')
    expect(summaryWords([now, soon, soon], TODAY)).toBe('One thing to do now, and two more within a week.')
    expect(summaryWords([soon], TODAY)).toBe('Nothing to do now; one thing within a week.')
    expect(summaryWords([now, now], TODAY)).toBe('Two things to do now.')
  })

  it('names up to three for the Today page, or two and how many more', () => {
    const named = (...whats: readonly string[]) =>
      dueWords(
        whats.map((what, i) => task(TODAY, TODAY, { what, id: `p.feed.${i}` })),
        TODAY,
      )
    expect(named()).toBeNull()
    expect(named('Feed the kale')).toEqual({ count: 1, names: 'feed the kale' })
    expect(named('Net it', 'Feed it', 'Cut it')!.names).toBe('net it, feed it and cut it')
    expect(named('Net it', 'Feed it', 'Cut it', 'Sow it')).toEqual({
      count: 4,
      names: 'net it, feed it and 2 more',
    })
    expect(dueWords([task('2027-06-16', '2027-06-20')], TODAY)).toBeNull()
  })

  it('tells dates, temperatures and lengths as the reader has them', () => {
    expect(told('Peas go 3 to 5 cm deep, at 15 to 20 °C.', TODAY, 'F', 'ft')).toBe(
      'Peas go 1¼ to 2\u00a0in deep, at 59 to 68 °F.',
    )
    const text = 'From 2027-05-06, or 2026-09-01: above 10.0 °C, 83 °C·d, 40 cm apart; mesh of 1.3 mm.'
    expect(told(text, TODAY, 'C', 'm')).toBe(
      'From 6\u00a0May, or 1\u00a0Sep\u00a02026: above 10.0 °C, 83 °C·d, 40 cm apart; mesh of 1.3 mm.',
    )
    expect(told(text, TODAY, 'F', 'ft')).toBe(
      'From 6\u00a0May, or 1\u00a0Sep\u00a02026: above 50.0 °F, 149 °F·d, 15¾\u00a0in apart; mesh of 1.3 mm.',
    )
  })
})
