import { describe, expect, it } from 'vitest'
import { CROPS } from '../../../hub/core/crops/library.js'
import { feed, feedingPlan } from '../../../hub/core/tasks/rules/feed.js'
import { entry, view } from './planting-view.js'

const ids = (tasks: readonly { id: string; from: string }[]) => tasks.map(({ id, from }) => [id, from])

describe('feeding', () => {
  it('is due two weeks after planting out, and two weeks after each feed in the journal', () => {
    const ahead = { heading: '2027-06-20' }
    expect(ids(feed(view({ ahead }), '2027-04-20'))).toEqual([
      ['p1.feed.1', '2027-04-26'],
      ['p1.feed.heading', '2027-06-20'],
    ])
    const fed = view({ ahead, journal: [entry('fed', '2027-04-28')] })
    expect(ids(feed(fed, '2027-05-01'))).toEqual([
      ['p1.feed.2', '2027-05-12'],
      ['p1.feed.heading', '2027-06-20'],
    ])
    expect(feed(fed, '2027-05-01')[0]!.why).toContain(
      'every 14 days (from memory, not checked); last fed on 2027-04-28',
    )
  })

  it('counts a feed of the whole bed, and none from before it stood there', () => {
    const journal = [entry('fed', '2027-03-20'), entry('fed', '2027-05-02', { planting: null, bed: 'long' })]
    expect(ids(feed(view({ journal }), '2027-05-03'))).toEqual([['p1.feed.2', '2027-05-16']])
  })

  it('leaves the fortnightly feed to the one at heading when they fall together', () => {
    const near = view({ ahead: { heading: '2027-05-30' }, journal: [entry('fed', '2027-05-12')] })
    expect(ids(feed(near, '2027-05-13'))).toEqual([['p1.feed.heading', '2027-05-30']])
  })

  it('that was missed in growth is not asked for any more once heads form', () => {
    const missed = view({ reachedOn: { heading: '2027-06-01' } })
    expect(ids(feed(missed, '2027-05-20'))).toEqual([
      ['p1.feed.1', '2027-04-26'],
      ['p1.feed.heading', '2027-06-01'],
    ])
    expect(ids(feed(missed, '2027-06-03'))).toEqual([['p1.feed.heading', '2027-06-01']])
  })

  it('at heading is done with by a feed just before or after, and over when heads are half grown', () => {
    const heading = { heading: '2027-06-01' }
    const open = view({ reachedOn: heading, journal: [entry('fed', '2027-05-20')] })
    expect(feed(open, '2027-06-03')[0]).toMatchObject({
      id: 'p1.feed.heading',
      to: '2027-06-11',
      why: expect.stringContaining('The head began to form on 2027-06-01.'),
    })
    expect(feed(view({ reachedOn: heading, journal: [entry('fed', '2027-05-27')] }), '2027-06-03')).toEqual(
      [],
    )
    expect(feed(open, '2027-06-23')).toEqual([])
  })

  it('at heading names its own source, and warns of split heads where heads split', () => {
    const why = (crop: string): string =>
      feed(view({ crop, reachedOn: { heading: '2027-06-01' } }), '2027-06-03').find(({ id }) =>
        id.endsWith('heading'),
      )!.why
    expect(why('cabbage-early')).toMatch(/no more nitrogen, or heads split.*Illinois Extension/)
    expect(why('broccoli')).not.toMatch(/split|Illinois/)
    expect(why('kohlrabi')).toMatch(/it needs most \(common practice, no source\)/)
  })

  it('ends with readiness, and with the first cut', () => {
    expect(feed(view({ reachedOn: { heading: '2027-06-01', ready: '2027-06-20' } }), '2027-06-21')).toEqual(
      [],
    )
    expect(feed(view({ journal: [entry('cut', '2027-06-20', { plants: 2 })] }), '2027-06-21')).toEqual([])
  })

  it('goes on for the others when a plant is lost or bolts', () => {
    const some = [entry('lost', '2027-04-20', { plants: 1 }), entry('bolted', '2027-04-22', { plants: 2 })]
    expect(ids(feed(view({ journal: some }), '2027-04-23'))).toEqual([['p1.feed.1', '2027-04-26']])
  })

  it('of leaf crops goes on while they are picked', () => {
    const kale = view({ crop: 'kale', journal: [entry('cut', '2027-06-20'), entry('fed', '2027-06-10')] })
    expect(ids(feed(kale, '2027-06-21'))).toEqual([['p1.feed.2', '2027-06-24']])
  })

  it('follows the library: peas and radishes never, lettuce once', () => {
    expect(feed(view({ crop: 'pea' }), '2027-05-01')).toEqual([])
    expect(feed(view({ crop: 'radish' }), '2027-05-01')).toEqual([])
    const lettuce = view({ crop: 'lettuce-head', ahead: { heading: '2027-05-20' } })
    expect(ids(feed(lettuce, '2027-04-20'))).toEqual([['p1.feed.1', '2027-05-03']])
    expect(feed(view({ crop: 'lettuce-head', journal: [entry('fed', '2027-05-04')] }), '2027-05-05')).toEqual(
      [],
    )
  })

  it('of what was sown in place begins with its first leaves', () => {
    const kale = { crop: 'kale', planting: { plantedOutOn: null } }
    expect(feed(view(kale), '2027-04-01')).toEqual([])
    expect(ids(feed(view({ ...kale, reachedOn: { leafing: '2027-04-10' } }), '2027-04-12'))).toEqual([
      ['p1.feed.1', '2027-04-24'],
    ])
  })

  it('has a plan for every crop of the library, fitting to what its own words say', () => {
    for (const crop of CROPS.values()) {
      const plan = feedingPlan(crop)
      if (/^(No nitrogen|None)/.test(crop.feeding.value)) expect(plan, crop.id).toBe('none')
      else expect(plan, crop.id).not.toBe('none')
      if (/^One light/.test(crop.feeding.value)) expect(plan, crop.id).toBe('once')
    }
  })
})
