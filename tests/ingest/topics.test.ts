import { describe, expect, it } from 'vitest'
import { topicsUnder } from '../../hub/ingest/topics.js'

describe('topics', () => {
  const topics = topicsUnder()

  it('name garden and node', () => {
    expect(topics.parse('gardens/home/nodes/bed-a/readings')).toEqual({
      garden: 'home',
      node: 'bed-a',
      kind: 'readings',
    })
    expect(topics.parse(topics.presence('home', 'bed-a'))?.kind).toBe('presence')
    expect(topics.settings('home', 'bed-a')).toBe('gardens/home/nodes/bed-a/settings')
    expect(topics.warning('home', 'east', 'frost')).toBe('gardens/home/beds/east/warnings/frost')
  })

  it('name the garden that a forecast is for', () => {
    expect(topics.forecast('home')).toBe('gardens/home/forecast')
    expect(topics.parseForecast(topics.forecast('home'))).toBe('home')
    for (const other of [
      'gardens/HOME/forecast',
      'gardens/home/forecast/x',
      'gardens/home',
      'home/forecast',
    ]) {
      expect(topics.parseForecast(other)).toBeNull()
    }
    expect(topicsUnder('site').parseForecast('gardens/home/forecast')).toBeNull()
  })

  it.each([
    'gardens/home/nodes/bed-a',
    'gardens/home/nodes/bed-a/readings/',
    '/gardens/home/nodes/bed-a/readings',
    'gardens/home/nodes//readings',
    'gardens/home/nodes/../readings',
    'gardens/home/nodes/bed+a/readings',
    'gardens/home/nodes/#/readings',
    'gardens/HOME/nodes/bed-a/readings',
    `gardens/home/nodes/${'a'.repeat(64)}/readings`,
    'gardens/home/nodes/bed-a/settings',
    'gardens/home/nodes/bed a/readings',
    'gardens/home/nodes/bed-a\u0000/readings',
    '$SYS/gardens/home/nodes/bed-a/readings',
    '',
  ])('of another shape are refused: %j', (topic) => {
    expect(topics.parse(topic)).toBeNull()
  })

  it.each([
    ['gardens/home/nodes/bed-a/elsewhere', 'home', 'bed-a'],
    ['gardens/home/nodes/BED/readings', 'home', null],
    ['gardens/home', 'home', null],
    ['gardens/../nodes/bed-a/readings', '', null],
    ['weather', '', null],
  ])('put the blame where it can be seen: %s', (topic, garden, node) => {
    expect(topics.blame(topic)).toEqual({ garden, node })
  })

  it('stand under a prefix when there is one', () => {
    const shared = topicsUnder('site/north')
    expect(shared.readings('home', 'a')).toBe('site/north/gardens/home/nodes/a/readings')
    expect(shared.parse('site/north/gardens/home/nodes/a/readings')).toMatchObject({ node: 'a' })
    expect(shared.parse('gardens/home/nodes/a/readings')).toBeNull()
    for (const bad of ['a/', '/a', 'a//b', 'a/+', '#', '$SYS'])
      expect(() => topicsUnder(bad)).toThrow(RangeError)
  })

  it.each([
    ['#', true],
    ['gardens/#', true],
    ['+/+/+/+/readings', true],
    ['gardens/home/nodes/+/+', true],
    ['gardens/home/nodes/+/presence', false],
    ['gardens/home/nodes/a/settings', false],
    ['gardens/home/beds/#', false],
    ['gardens/+/beds/+/warnings/+', false],
  ])('know which filters hear readings: %s', (filter, hears) => {
    expect(topics.mayHearReadings(filter)).toBe(hears)
  })
})
