import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { allTasks, withAnswers } from '../../../hub/core/tasks/all-tasks.js'
import { hotSpell } from '../../../hub/core/tasks/hot-spell.js'
import { taskState } from '../../../hub/core/tasks/task.js'
import { entry, view } from './planting-view.js'

const TODAY = '2027-04-10'
const tasks = allTasks([view({ journal: [entry('sown', '2027-03-01')] })], [], TODAY)

describe('answers to tasks', () => {
  it('starts from tasks by date', () => {
    expect(tasks.map(({ id }) => id)).toEqual(['p1.harden-off.1', 'p1.plant-out.1', 'p1.net.1', 'p1.feed.1'])
  })

  it('“later” moves a task and does not hide it; it comes back on its day', () => {
    const answers = [{ task: 'p1.harden-off.1', untilOn: '2027-04-14' }]
    const moved = withAnswers(tasks, answers, TODAY).open.find(({ task }) => task.rule === 'harden-off')!
    expect(moved).toMatchObject({ putOffTo: '2027-04-14', task: { from: '2027-04-14', to: '2027-04-14' } })
    expect(taskState(moved.task, TODAY)).toBe('coming')
    const then = withAnswers(tasks, answers, '2027-04-14').open.find(
      ({ task }) => task.rule === 'harden-off',
    )!
    expect(then.putOffTo).toBeNull()
    expect(taskState(then.task, '2027-04-14')).toBe('due')
  })

  it('“not this” takes it out, and names it so that it can be taken back', () => {
    const { open, never } = withAnswers(tasks, [{ task: 'p1.net.1', untilOn: null }], TODAY)
    expect(open.map(({ task }) => task.id)).not.toContain('p1.net.1')
    expect(never.map(({ id }) => id)).toEqual(['p1.net.1'])
  })

  it('answers to tasks that are not there any more change nothing', () => {
    const { open, never } = withAnswers(tasks, [{ task: 'gone.feed.3', untilOn: null }], TODAY)
    expect(open.map(({ task }) => task)).toEqual(tasks)
    expect(never).toEqual([])
  })
})

it('a planting of which nothing is left asks for nothing, and one that was not all cut or lost does', () => {
  const sown = entry('sown', '2027-03-01')
  const idsWith = (...journal: Parameters<typeof entry>[]) =>
    allTasks([view({ journal: [sown, ...journal.map((parts) => entry(...parts))] })], [], TODAY).map(
      ({ id }) => id,
    )
  expect(idsWith(['lost', '2027-04-02', { plants: 8 }])).toContain('p1.plant-out.1')
  expect(idsWith(['lost', '2027-04-02', { plants: 9 }])).toEqual([])
  expect(idsWith(['lost', '2027-04-02'])).toEqual([])
})

describe('ids of tasks', () => {
  it('are all different, and the same for the same garden whatever the day', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60 }), fc.integer({ min: -5, max: 5 }), (day, shift) => {
        const out = `2027-04-${String(12 + shift).padStart(2, '0')}`
        const date = new Date(Date.UTC(2027, 2, 1 + day)).toISOString().slice(0, 10)
        const ids = allTasks([view({ planting: { plantedOutOn: out } })], [], date).map(({ id }) => id)
        return new Set(ids).size === ids.length && ids.every((id) => /^p1\.[a-z-]+\.[a-z0-9-]+$/.test(id))
      }),
    )
  })
})

describe('a hot spell worth a watering can', () => {
  const days = Array.from({ length: 6 }, (_, lead) => ({
    date: `2027-06-${String(15 + lead).padStart(2, '0')}`,
    leadDays: lead,
    maxC: { meanC: 24 + lead, sdC: 1.5, atLeastC: null, atMostC: null },
    minC: { meanC: 14, sdC: 1, atLeastC: null, atMostC: null },
  }))
  const odds = (reachedBy: readonly number[]) => ({ reachedBy, hot: [], hotSinceFirst: [] })

  it('begins three days before it is as likely as not to be reached', () => {
    expect(hotSpell(days, odds([0, 0, 0, 0.1, 0.3, 0.5]), false, 27, 'words')).toEqual({
      fromDate: '2027-06-17',
      chance: 0.5,
      limitC: 27,
      hottestC: 29,
      words: 'words',
    })
  })

  it('is not told when it is unlikely, less so in a first season, or when nothing is known', () => {
    expect(hotSpell(days, odds([0, 0, 0, 0, 0.05, 0.1]), false, 27, '')).toBeNull()
    expect(hotSpell(days, odds([0, 0, 0, 0, 0.1, 0.3]), true, 27, '')).toBeNull()
    expect(hotSpell(days, odds([0, 0, 0, 0, 0.1, 0.3]), false, 27, '')).not.toBeNull()
    expect(hotSpell(days, null, false, 27, '')).toBeNull()
  })
})
