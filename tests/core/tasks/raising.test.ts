import { describe, expect, it } from 'vitest'
import { hardenOff } from '../../../hub/core/tasks/rules/harden-off.js'
import { plantOut } from '../../../hub/core/tasks/rules/plant-out.js'
import { prickOut } from '../../../hub/core/tasks/rules/prick-out.js'
import { sow } from '../../../hub/core/tasks/rules/sow.js'
import { taskState } from '../../../hub/core/tasks/task.js'
import { entry, view } from './planting-view.js'

describe('sowing what is planned', () => {
  it('is to come before its day, due from it on, overdue a week later', () => {
    const [task] = sow(view(), '2027-02-20')
    expect(task).toMatchObject({
      id: 'p1.sow.1',
      what: 'Sow the early cabbage',
      from: '2027-03-01',
      to: '2027-03-08',
      journal: 'sown',
    })
    expect(task!.why).toContain('planted out about 2027-04-12')
    expect(
      ['2027-02-28', '2027-03-01', '2027-03-08', '2027-03-09'].map((day) => taskState(task!, day)),
    ).toEqual(['coming', 'due', 'due', 'overdue'])
  })

  it.each([
    ['it is in the journal', view({ journal: [entry('sown', '2027-03-02')] }), '2027-03-05'],
    ['something was seen of it since', view({ journal: [entry('emerged', '2027-03-09')] }), '2027-03-10'],
    ['it stands outside already', view(), '2027-04-12'],
    ['the date is two weeks past without a word', view(), '2027-03-16'],
    ['it was never to be sown here', view({ planting: { sownOn: null } }), '2027-03-01'],
  ])('is not asked for when %s', (_why, planting, today) => {
    expect(sow(planting, today)).toEqual([])
  })

  it('is asked for on, though a note says why it was not done', () => {
    const rain = view({ journal: [entry('note', '2027-03-02', { note: 'too wet' })] })
    expect(sow(rain, '2027-03-05')).toHaveLength(1)
  })

  const direct = { sownOn: '2027-04-20', plantedOutOn: null }
  it('in place may be brought forward when the soil is fit', () => {
    const [task] = sow(view({ crop: 'spinach', planting: direct, soilMeanC: 12 }), '2027-04-10')
    expect(task!.from).toBe('2027-04-06')
    expect(task!.why).toMatch(/12\.0 °C these last days: fit to sow into, seedlings up in about \d+ days/)
    // too long before the planned day for anybody to think of it
    expect(sow(view({ crop: 'spinach', planting: direct, soilMeanC: 12 }), '2027-04-01')[0]!.from).toBe(
      '2027-04-20',
    )
  })

  it.each([
    ['cabbage-early', 3, 'too cold'],
    ['lettuce-head', 34, 'too hot'],
    ['cabbage-early', 8, 'slow going'],
  ])('in place, %s into soil at %d °C: %s', (crop, soilMeanC, words) => {
    const [task] = sow(view({ crop, planting: direct, soilMeanC }), '2027-04-15')
    expect(task).toMatchObject({ from: '2027-04-20', why: expect.stringContaining(words) })
  })

  it('under cover says nothing of the soil outside', () => {
    expect(sow(view({ soilMeanC: 2 }), '2027-02-25')[0]!.why).not.toContain('soil')
  })
})

describe('pricking out', () => {
  it('comes a week or two after the seedlings were seen, or should be up', () => {
    // a cabbage at 18 °C: six to seven days to emergence (Harrington & Minges)
    expect(prickOut(view(), '2027-03-05')[0]).toMatchObject({ from: '2027-03-15', to: '2027-03-22' })
    const seen = view({ journal: [entry('emerged', '2027-03-12')] })
    expect(prickOut(seen, '2027-03-13')[0]).toMatchObject({
      id: 'p1.prick-out.1',
      from: '2027-03-19',
      to: '2027-03-26',
      journal: 'pricked-out',
    })
  })

  it.each([
    ['done', view({ journal: [entry('pricked-out', '2027-03-20')] }), '2027-03-21'],
    ['too near to planting out', view(), '2027-04-05'],
    ['sown in place', view({ planting: { plantedOutOn: null } }), '2027-03-15'],
    ['a root', view({ crop: 'radish' }), '2027-03-15'],
  ])('is not asked for when %s', (_why, planting, today) => {
    expect(prickOut(planting, today)).toEqual([])
  })
})

describe('hardening off', () => {
  it('begins ten to seven days before planting out', () => {
    expect(hardenOff(view(), '2027-03-20')[0]).toMatchObject({
      id: 'p1.harden-off.1',
      from: '2027-04-02',
      to: '2027-04-05',
      journal: 'hardened-off',
      why: expect.stringContaining('7 to 10 days'),
    })
  })

  it('moves with the date of planting out and keeps its id', () => {
    const moved = view({ planting: { plantedOutOn: '2027-04-20' } })
    expect(hardenOff(moved, '2027-03-20')[0]).toMatchObject({ id: 'p1.harden-off.1', from: '2027-04-10' })
  })

  it('is over once it is done, or the plants are out', () => {
    expect(hardenOff(view({ journal: [entry('hardened-off', '2027-04-03')] }), '2027-04-04')).toEqual([])
    expect(hardenOff(view(), '2027-04-12')).toEqual([])
    expect(hardenOff(view({ planting: { sownOn: null } }), '2027-04-04')).toEqual([])
  })
})

describe('planting out', () => {
  it('is due from the planned day on, with how many and how far apart', () => {
    const [task] = plantOut(
      view({ journal: [entry('sown', '2027-03-01'), entry('hardened-off', '2027-04-03')] }),
      '2027-04-10',
    )
    expect(task).toMatchObject({
      id: 'p1.plant-out.1',
      from: '2027-04-12',
      to: '2027-04-19',
      journal: 'planted-out',
    })
    expect(task!.why).toBe('You planned it for 2027-04-12: 9 plants in Long bed, 40 cm apart.')
  })

  it('is not done because seedlings under cover were watered, fed, looked at or lost', () => {
    const journal = [
      entry('watered', '2027-04-02'),
      entry('fed', '2027-04-05'),
      entry('pests-seen', '2027-04-06'),
      entry('lost', '2027-04-07', { plants: 2 }),
    ]
    expect(plantOut(view({ journal }), '2027-04-10')).toHaveLength(1)
  })

  it('is done when the journal says so, or speaks of what only plants in a bed do', () => {
    expect(plantOut(view({ journal: [entry('planted-out', '2027-04-12')] }), '2027-04-13')).toEqual([])
    expect(plantOut(view({ journal: [entry('netted', '2027-04-13')] }), '2027-04-14')).toEqual([])
    expect(plantOut(view(), '2027-04-27')).toEqual([])
  })
})
