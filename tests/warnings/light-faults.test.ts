import { describe, expect, it } from 'vitest'
import type { LearnedSun } from '../../hub/core/sun/learned-sun.js'
import type { SensorFault } from '../../hub/core/sun/sensor-faults.js'
import { SECTORS } from '../../hub/core/sun/skyline.js'
import type { Finding } from '../../hub/warnings/rule.js'
import { sensorFault } from '../../hub/warnings/rules/sensor-fault.js'
import { columns, contextOf, HOUR_MS, MINUTE_MS, NOW_MS, nodeView } from './rule-context.js'

const DAY_MS = 24 * HOUR_MS
const none = new Array<number>(SECTORS).fill(0)

function learned(faults: readonly SensorFault[], changes: LearnedSun['gain']['changes'] = []): LearnedSun {
  return {
    readings: 40_000,
    days: 30,
    firstMs: NOW_MS - 30 * DAY_MS,
    lastMs: NOW_MS - DAY_MS,
    isDrawn: false,
    gain: {
      firstDay: 0,
      byDay: [1],
      latest: 1,
      uncertainty: 0.02,
      clearDays: 9,
      morningOverAfternoon: 1,
      changes,
    },
    skyline: {
      elevationDeg: none,
      atLeastDeg: none,
      lowDeg: none,
      highDeg: none,
      uncertaintyDeg: none,
      isKnown: none,
    },
    faults,
  }
}

const look = (light: LearnedSun | null, luxOfLastDay?: readonly number[]): Finding[] =>
  sensorFault.find(
    contextOf({
      nodes: [
        nodeView({
          light,
          recent: luxOfLastDay
            ? new Map([['light', columns(NOW_MS, 10 * MINUTE_MS, luxOfLastDay)]])
            : new Map(),
        }),
      ],
    }),
  )

const change = (daysAgo: number, from: number, to: number) => ({
  afterMs: NOW_MS - (daysAgo + 2) * DAY_MS,
  beforeMs: NOW_MS - daysAgo * DAY_MS,
  from,
  to,
})
const changed = (...changes: ReturnType<typeof change>[]): LearnedSun =>
  learned(
    changes.map((c) => ({ kind: 'gain-changed' as const, ...c })),
    changes,
  )

describe('a light sensor', () => {
  it('that reads less than before is told of, with how much', () => {
    const [found, ...more] = look(changed(change(5, 1, 0.7)))
    expect(more).toEqual([])
    expect(found).toMatchObject({
      cause: 'sensor-fault/n1/light-gain',
      severity: 'Minor',
      headline: 'The light sensor of First node (South bed) reads 30 % less than before',
    })
    expect(found!.advice).toContain('Wipe the dome')
  })

  it('that was cleaned is not, nor one that changed long ago', () => {
    expect(look(changed(change(15, 1, 0.7), change(3, 0.7, 0.98)))).toEqual([])
    expect(look(changed(change(40, 1, 0.7)))).toEqual([])
    expect(look(changed(change(6, 0.8, 1.1)))[0]!.headline).toContain('38 % more')
  })

  it('that leans is told which way', () => {
    const [found] = look(learned([{ kind: 'leaning', morningOverAfternoon: 1.3 }]))
    expect(found!.why).toContain('30 % more light before noon')
    expect(found!.advice).toContain('leans towards the east')
  })

  it('whose node has a clock an hour off is told what to do', () => {
    const [found] = look(learned([{ kind: 'clock-off', offsetMinutes: 60 }]))
    expect(found).toMatchObject({ cause: 'sensor-fault/n1/clock-offset', severity: 'Moderate' })
    expect(found!.headline).toContain('ahead by about 60 minutes')
    expect(found!.advice).toContain('UTC')
  })

  it('that has been dark for hours of daylight lies on its face, or under something', () => {
    const dark = new Array<number>(6 * 8).fill(3)
    const [found] = look(null, dark)
    expect(found).toMatchObject({ cause: 'sensor-fault/n1/light-covered', severity: 'Moderate' })
    expect(look(null, [...dark, 30_000])).toEqual([])
    // a thunderstorm still lets a tenth through
    expect(
      look(
        null,
        new Array<number>(6 * 8).fill(4_000).map((v, i) => v + i),
      ),
    ).toEqual([])
  })
})
