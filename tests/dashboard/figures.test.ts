import { describe, expect, test } from 'vitest'
import { ageInWords, hoursInWords, listInWords, stepInWords } from '../../dashboard/src/format/durations.js'
import { clockTime, dateAndClock, dateInWords } from '../../dashboard/src/format/local-clock.js'
import {
  figure,
  percent,
  showDegreeDays,
  showTemperature,
  showTemperatureRange,
  showValue,
  temperaturesInText,
} from '../../dashboard/src/format/units.js'

describe('figures', () => {
  test('are printed in °F when the reader wants them so', () => {
    expect(showTemperature(0, 'F')).toBe('32.0\u00a0°F')
    expect(showTemperature(27, 'F')).toBe('80.6\u00a0°F')
    expect(showTemperature(-40, 'F')).toBe('\u221240.0\u00a0°F')
    expect(showTemperatureRange(6.1, 17.9, 'F')).toBe('43.0 to 64.2\u00a0°F')
  })

  test('turn degree days as a difference, without the 32', () => {
    expect(showDegreeDays(10, 'F')).toBe('18.0\u00a0°F·d')
    expect(showDegreeDays(10, 'C')).toBe('10.0\u00a0°C·d')
  })

  test('in a sentence of the hub follow the switch too, differences without the 32', () => {
    const why =
      'Fell from 4.5 °C to −1.2 °C, give or take 2 °C; sensors are good to ±0.5 °C. 15.0 °C to 100 °C'
    expect(temperaturesInText(why, 'F')).toBe(
      'Fell from 40.1 °F to 29.8 °F, give or take 3.6 °F; sensors are good to ±0.9 °F. 59.0 °F to 212 °F',
    )
    expect(temperaturesInText('heading at 640 °C·d, in 3 days', 'F')).toBe('heading at 1152 °F·d, in 3 days')
    expect(temperaturesInText(why, 'C')).toBe(why)
    expect(temperaturesInText('Sow at 15 to 20 °C, not −2.5 to 4 °C.', 'F')).toBe(
      'Sow at 59 to 68 °F, not 27.5 to 39 °F.',
    )
    expect(temperaturesInText('On 6 or 7 days above 25 °C; 10 and 12 °C·d', 'F')).toBe(
      'On 6 or 7 days above 77 °F; 18 and 22 °F·d',
    )
    expect(temperaturesInText('Measured 1.2 °C warmer than the rest.', 'F')).toBe(
      'Measured 2.2 °F warmer than the rest.',
    )
    expect(temperaturesInText('since 2027-05-06 and 20 °C', 'F')).toBe('since 2027-05-06 and 68 °F')
  })

  test('leave other units alone', () => {
    expect(showValue('humidity', '%RH', 71.4, 'F')).toBe('71\u00a0%RH')
    expect(showValue('leaf-wetness', '', 0.125, 'F')).toBe('0.13')
  })

  test('give bright light to the hundred lux, its thousands parted', () => {
    expect(showValue('light', 'lx', 89_458, 'C')).toBe('89\u202f500\u00a0lx')
    expect(showValue('light', 'lx', 458, 'C')).toBe('458\u00a0lx')
  })

  test('have a true minus, and none before a zero', () => {
    expect(figure(-3.24, 1)).toBe('\u22123.2')
    expect(figure(-0.04, 1)).toBe('0.0')
  })

  test('say nothing of a range with an unknown end', () => {
    expect(showTemperatureRange(null, 17.9, 'C')).toBeNull()
  })

  test('never round an incomplete coverage up to all', () => {
    expect(percent(0.999)).toBe('99\u00a0%')
    expect(percent(1)).toBe('100\u00a0%')
  })
})

describe('spans of time', () => {
  test('are worded in hours and minutes', () => {
    expect(hoursInWords(4 + 50 / 60)).toBe('4\u00a0h 50\u00a0min')
    expect(hoursInWords(6)).toBe('6\u00a0h')
    expect(hoursInWords(0.5)).toBe('30\u00a0min')
    expect(hoursInWords(0.004)).toBe('none')
    expect(hoursInWords(0.9999)).toBe('1\u00a0h')
  })

  test('of the past are worded by their size', () => {
    expect(ageInWords(20_000)).toBe('just now')
    expect(ageInWords(60_000)).toBe('1 minute ago')
    expect(ageInWords(12 * 60_000)).toBe('12 minutes ago')
    expect(ageInWords(3.2 * 3_600_000)).toBe('3 hours ago')
    expect(ageInWords(5 * 86_400_000)).toBe('5 days ago')
  })

  test('of chart steps are worded in their largest whole unit', () => {
    expect(stepInWords(300)).toBe('5-minute')
    expect(stepInWords(7200)).toBe('2-hour')
    expect(stepInWords(604_800)).toBe('7-day')
  })

  test('and lists read as lists', () => {
    expect(listInWords(['kale', 'lettuce', 'peas'])).toBe('kale, lettuce and peas')
    expect(listInWords([])).toBe('')
  })
})

describe('clocks and dates', () => {
  const zoned = Date.parse('2027-05-06T14:10:00+12:00')

  test('are the garden’s, not the browser’s', () => {
    expect(clockTime(zoned, 'Pacific/Auckland', '24')).toBe('14:10')
    expect(clockTime(zoned, 'Pacific/Auckland', '12')).toBe('2:10\u00a0pm')
    expect(dateAndClock(zoned, 'America/Los_Angeles', '24')).toBe('Wed 5 May 19:10')
  })

  test('have ordinals that read right', () => {
    expect(dateInWords('2027-05-06')).toBe('Thursday, the 6th of May')
    expect(dateInWords('2027-06-01')).toBe('Tuesday, the 1st of June')
    expect(dateInWords('2027-06-12')).toBe('Saturday, the 12th of June')
    expect(dateInWords('2027-06-22')).toBe('Tuesday, the 22nd of June')
    expect(dateInWords('2027-06-23')).toBe('Wednesday, the 23rd of June')
  })
})
