import { describe, expect, it } from 'vitest'
import { CROPS } from '../../../hub/core/crops/library.js'
import { net } from '../../../hub/core/tasks/rules/net.js'
import { pests } from '../../../hub/core/tasks/rules/pests.js'
import { underNet } from '../../../hub/core/tasks/rules/under-net.js'
import { entry, flight, view } from './planting-view.js'

const SPRING = [
  flight('root-fly', { expectedOn: '2027-05-06', earliestOn: '2027-05-01', latestOn: '2027-05-11' }),
  flight('small-white', { expectedOn: '2027-05-18', earliestOn: '2027-05-12', latestOn: '2027-05-25' }),
]

describe('netting', () => {
  it('comes before the first flight of the year, with its reason', () => {
    const [task] = net(view({ flights: SPRING }), '2027-04-12')
    expect(task).toMatchObject({
      id: 'p1.net.1',
      from: '2027-04-17',
      to: '2027-04-30',
      journal: 'netted',
    })
    expect(task!.why).toContain('the first cabbage root flies come about 2027-05-06')
    expect(task!.why).toContain('between 2027-05-01 and 2027-05-11 eight times in ten')
    expect(task!.how).toContain('stays on until the harvest')
  })

  it('comes with planting out where they fly already, or fly before', () => {
    const summer = { planting: { sownOn: '2027-05-20', plantedOutOn: '2027-07-01' } }
    const about = [
      flight('root-fly', { reachedOn: '2027-05-05' }),
      flight('small-white', { reachedOn: '2027-05-16' }),
    ]
    const [task] = net(view({ ...summer, flights: about }), '2027-06-25')
    expect(task).toMatchObject({ from: '2027-07-01', to: '2027-07-04' })
    expect(task!.why).toContain('have been about since 2027-05-05')
    const before = net(view({ ...summer, flights: SPRING }), '2027-04-20')[0]
    expect(before).toMatchObject({ from: '2027-07-01', to: '2027-07-04' })
  })

  it('comes with planting out, and says so, where no date can be told', () => {
    const [task] = net(
      view({ flights: [flight('root-fly', { words: 'On 60 days no air temperature was measured.' })] }),
      '2027-04-12',
    )
    expect(task).toMatchObject({
      from: '2027-04-12',
      to: '2027-04-15',
      why: expect.stringContaining('On 60 days'),
    })
  })

  it('looks at the flights of the season that the planting stands in', () => {
    const flights = [
      flight('root-fly', { countedFrom: '2026-01-01', reachedOn: '2026-05-04' }),
      flight('root-fly', { expectedOn: '2027-05-06' }),
    ]
    expect(net(view({ flights }), '2026-12-20')[0]).toMatchObject({ from: '2027-04-22', to: '2027-05-05' })
  })

  it('is not asked for again while the net is on, and is once it was taken off', () => {
    const netted = entry('netted', '2027-04-20')
    expect(net(view({ flights: SPRING, journal: [netted] }), '2027-05-01')).toEqual([])
    const off = view({ flights: SPRING, journal: [netted, entry('net-off', '2027-04-25')] })
    expect(net(off, '2027-05-01')[0]!.id).toBe('p1.net.2')
    const ofBed = entry('netted', '2027-04-20', { planting: null, bed: 'long' })
    expect(net(view({ flights: SPRING, journal: [ofBed] }), '2027-05-01')).toEqual([])
  })

  it('is not worth it just before the harvest', () => {
    expect(net(view({ flights: SPRING, ahead: { ready: '2027-06-20' } }), '2027-06-10')).toEqual([])
  })

  it('is for the cabbage family alone', () => {
    const families = [...CROPS.values()].map((crop): [string, boolean] => [
      crop.id,
      net(view({ crop: crop.id, flights: SPRING }), '2027-04-12').length > 0,
    ])
    const netted = families.flatMap(([id, is]) => (is ? [id] : []))
    expect(netted).toContain('radish')
    expect(netted.filter((id) => /lettuce|spinach|pea|celery|coriander|cilantro/.test(id))).toEqual([])
    expect(netted.length).toBeGreaterThan(8)
  })
})

describe('a net', () => {
  it('is lifted every two weeks to weed and look, and for nothing else', () => {
    const netted = entry('netted', '2027-04-20')
    expect(underNet(view({ journal: [netted] }), '2027-04-21')[0]).toMatchObject({
      id: 'p1.under-net.1-1',
      from: '2027-05-04',
      journal: 'weeded',
      why: expect.stringContaining('need not come off for anything else before the harvest'),
    })
    const weeded = view({ journal: [netted, entry('weeded', '2027-05-06')] })
    expect(underNet(weeded, '2027-05-07')[0]).toMatchObject({ id: 'p1.under-net.1-2', from: '2027-05-20' })
  })

  it('that is not there needs no lifting', () => {
    expect(underNet(view(), '2027-05-01')).toEqual([])
    expect(
      underNet(view({ journal: [entry('netted', '2027-04-20'), entry('cut', '2027-06-20')] }), '2027-06-21'),
    ).toEqual([])
  })
})

it.each([
  [
    'one plant of many was lost',
    view({ flights: SPRING, journal: [entry('lost', '2027-04-20', { plants: 1 })] }),
  ],
  ['kale is being picked', view({ crop: 'kale', flights: SPRING, journal: [entry('cut', '2027-04-20')] })],
])('netting and looking go on while %s', (_when, planting) => {
  expect(net(planting, '2027-04-25')).toHaveLength(1)
  expect(pests(planting, '2027-05-01')).toHaveLength(2)
  const netted = { ...planting, journal: [...planting.journal, entry('netted', '2027-04-21')] }
  expect(underNet(netted, '2027-05-01')).toHaveLength(1)
})

describe('looking for pests', () => {
  it('comes some days after each begins to fly, where there is no net', () => {
    const tasks = pests(view({ flights: SPRING }), '2027-05-01')
    expect(tasks.map(({ id, from }) => [id, from])).toEqual([
      ['p1.pests.root-fly-2027', '2027-05-11'],
      ['p1.pests.small-white-2027', '2027-05-23'],
    ])
    expect(tasks[1]).toMatchObject({
      journal: 'pests-seen',
      asks: 'pests',
      how: expect.stringContaining('read and follow the label'),
    })
  })

  it('comes again with each brood, but not for one that flew before the plants were there', () => {
    const broods = [
      flight('root-fly', { reachedOn: '2027-05-06' }),
      flight('root-fly', { brood: 1, reachedOn: '2027-07-01' }),
      flight('root-fly', { brood: 2, expectedOn: '2027-08-25' }),
    ]
    const planting = { sownOn: '2027-06-01', plantedOutOn: '2027-07-10' }
    const tasks = pests(view({ planting, flights: broods }), '2027-07-11')
    expect(tasks.map(({ id, from }) => [id, from])).toEqual([
      ['p1.pests.root-fly-2027-2', '2027-07-15'],
      ['p1.pests.root-fly-2027-3', '2027-08-30'],
    ])
    expect(tasks[1]!.why).toContain('the cabbage root flies of the third brood are to be expected')
  })

  it('ends with a net, with what was seen, and with time', () => {
    expect(pests(view({ flights: SPRING, journal: [entry('netted', '2027-04-20')] }), '2027-05-12')).toEqual(
      [],
    )
    const seen = view({ flights: SPRING, journal: [entry('pests-seen', '2027-05-20')] })
    expect(pests(seen, '2027-05-24')).toEqual([])
    expect(pests(view({ flights: SPRING }), '2027-06-25')).toEqual([])
  })
})
