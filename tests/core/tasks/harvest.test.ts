import { describe, expect, it } from 'vitest'
import { allTasks } from '../../../hub/core/tasks/all-tasks.js'
import { cut } from '../../../hub/core/tasks/rules/cut.js'
import { firmness } from '../../../hub/core/tasks/rules/firmness.js'
import { waterBeforeHeat } from '../../../hub/core/tasks/rules/water-before-heat.js'
import { BED, entry, view } from './planting-view.js'

const felt = (on: string, how: 'soft' | 'giving' | 'firm') => entry('firmness', on, { firmness: how })

describe('feeling for firmness', () => {
  const ahead = { ready: { expectedOn: '2027-06-20', earliestOn: '2027-06-12', latestOn: '2027-06-28' } }

  it('begins on the projected date, with its interval', () => {
    const [task] = firmness(view({ ahead }), '2027-06-01')
    expect(task).toMatchObject({
      id: 'p1.firmness.1',
      from: '2027-06-20',
      to: '2027-06-23',
      asks: 'firmness',
    })
    expect(task!.why).toContain('about 2027-06-20, between 2027-06-12 and 2027-06-28 eight times in ten')
  })

  it('comes again every few days until it felt firm', () => {
    const reachedOn = { ready: '2027-06-18' }
    expect(
      firmness(view({ reachedOn, journal: [felt('2027-06-19', 'soft')] }), '2027-06-20')[0],
    ).toMatchObject({
      id: 'p1.firmness.2',
      from: '2027-06-24',
    })
    const giving = [felt('2027-06-19', 'soft'), felt('2027-06-24', 'giving')]
    expect(firmness(view({ reachedOn, journal: giving }), '2027-06-25')[0]).toMatchObject({
      id: 'p1.firmness.3',
      from: '2027-06-27',
      why: expect.stringContaining('On 2027-06-24 it felt giving.'),
    })
    expect(
      firmness(view({ reachedOn, journal: [...giving, felt('2027-06-27', 'firm')] }), '2027-06-28'),
    ).toEqual([])
  })

  it('does not come before the projected date because somebody felt it early and found it soft', () => {
    expect(firmness(view({ ahead, journal: [felt('2027-06-02', 'soft')] }), '2027-06-03')[0]!.from).toBe(
      '2027-06-20',
    )
    expect(firmness(view({ ahead, journal: [felt('2027-06-10', 'giving')] }), '2027-06-11')[0]!.from).toBe(
      '2027-06-13',
    )
  })

  it('is not for leaves, nor for what is cut, split or not to be told', () => {
    expect(firmness(view({ crop: 'spinach', ahead }), '2027-06-20')).toEqual([])
    expect(firmness(view({ ahead, journal: [entry('cut', '2027-06-19')] }), '2027-06-20')).toEqual([])
    expect(firmness(view(), '2027-06-20')).toEqual([])
  })
})

describe('cutting', () => {
  it('follows on firmness, within two weeks when it is warm and three when it is cool', () => {
    const journal = [felt('2027-06-27', 'firm')]
    expect(cut(view({ journal, airMeanC: 18 }), '2027-06-28')[0]).toMatchObject({
      id: 'p1.cut.1',
      from: '2027-06-27',
      to: '2027-07-11',
      journal: 'cut',
      asks: 'harvest',
    })
    expect(cut(view({ journal, airMeanC: 9 }), '2027-06-28')[0]).toMatchObject({ to: '2027-07-18' })
    expect(cut(view({ journal: [felt('2027-06-27', 'giving')] }), '2027-06-28')).toEqual([])
  })

  it('goes on until all are cut, lost or bolted', () => {
    const some = [
      felt('2027-06-27', 'firm'),
      entry('cut', '2027-06-28', { plants: 5 }),
      entry('lost', '2027-06-10', { plants: 1 }),
    ]
    expect(cut(view({ journal: some }), '2027-06-29')[0]).toMatchObject({
      id: 'p1.cut.2',
      what: expect.stringContaining('what is left of it'),
    })
    const all = [...some, entry('cut', '2027-06-30', { plants: 3 })]
    expect(allTasks([view({ journal: all })], [], '2027-07-01')).toEqual([])
    const said = [felt('2027-06-27', 'firm'), entry('cut', '2027-06-28')]
    expect(allTasks([view({ journal: said })], [], '2027-06-29')).toEqual([])
  })

  it('is told once of what is picked over: whoever has begun goes on', () => {
    const ripe = [felt('2027-06-20', 'firm')]
    expect(cut(view({ crop: 'pea', journal: ripe }), '2027-06-21')).toHaveLength(1)
    const picked = [...ripe, entry('cut', '2027-06-21', { plants: 4 })]
    expect(cut(view({ crop: 'pea', journal: picked }), '2027-06-24')).toEqual([])
  })

  it('speaks of cracking heads to growers of cabbages alone', () => {
    const told = (crop: string): string => {
      const [task] = cut(view({ crop, journal: [felt('2027-06-27', 'firm')] }), '2027-06-28')
      return `${task!.why} ${task!.how}`
    }
    expect(told('cabbage-early')).toMatch(/before it cracks.*half turn/)
    for (const crop of ['lettuce-head', 'chinese-cabbage', 'broccoli', 'pea', 'radish']) {
      expect(told(crop), crop).not.toMatch(/crack|split|half turn/)
    }
  })

  it('is pressing when one has split', () => {
    const split = [felt('2027-06-27', 'firm'), entry('split', '2027-06-30', { plants: 1 })]
    expect(cut(view({ journal: split }), '2027-06-30')[0]).toMatchObject({
      what: 'Cut at once: early cabbage',
      from: '2027-06-30',
      to: '2027-07-01',
    })
  })
})

describe('watering before heat', () => {
  const hot = {
    fromDate: '2027-06-20',
    chance: 0.62,
    limitC: 27,
    hottestC: 31.4,
    words: 'From the bed’s own days.',
  }

  it('is asked for once a bed, two days ahead, with the odds', () => {
    const [task, ...more] = waterBeforeHeat(BED, ['early cabbage', 'broccoli'], hot, [])
    expect(more).toEqual([])
    expect(task).toMatchObject({
      id: 'bed-long.water.1',
      planting: null,
      from: '2027-06-18',
      to: '2027-06-20',
      journal: 'watered',
    })
    expect(task!.why).toContain('about 6 in 10 for three in a row, the hottest with 31.4 °C')
    expect(task!.why).toContain('Early cabbage and broccoli go into it best')
  })

  it('is not asked for where nothing stands, no heat is likely, or it was watered just now', () => {
    expect(waterBeforeHeat(BED, [], hot, [])).toEqual([])
    expect(waterBeforeHeat(BED, ['kale'], null, [])).toEqual([])
    expect(waterBeforeHeat(BED, ['kale'], hot, [entry('watered', '2027-06-17')])).toEqual([])
    expect(waterBeforeHeat(BED, ['kale'], hot, [entry('watered', '2027-06-10')])[0]!.id).toBe(
      'bed-long.water.2',
    )
  })
})
