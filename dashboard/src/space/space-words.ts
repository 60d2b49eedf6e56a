/** What is to be said of the room in a bed, counts in words first. */
import type { HeadSize, Space, SpaceLayout } from '../../../shared/api/space.js'
import { listInWords, numbersAlike, numberWord } from '../format/durations.js'
import { type LengthUnit, lengthsInText, showLength, showWeightRange } from '../format/lengths.js'
import { dayMonthYear } from '../format/local-clock.js'
import { capital } from '../format/sentences.js'
import type { Row, Rows } from './rows.js'

/** 'heads' of what forms heads, else 'plants'. */
export function plantsWord(forms: string, count: number): string {
  const word = forms === 'head' ? 'head' : 'plant'
  return count === 1 ? word : `${word}s`
}

/** 'Nine heads at 16 in, three by three.' */
export function countSentence(
  space: Space,
  layout: SpaceLayout,
  rows: Rows | null,
  forms: string,
  unit: LengthUnit,
): string {
  const at = showLength(space.spacingM, unit)
  if (layout.plants === 0) return `No room for a single plant at ${at}.`
  const count = `${capital(numberWord(layout.plants))} ${plantsWord(forms, layout.plants)} at ${at}`
  const order = rows === null ? '' : orderWords(rows)
  return order === '' ? `${count}.` : `${count}, ${order}.`
}

/** 'three by three', 'in four rows of three and two', 'six round the rim and one in the middle' */
export function orderWords({ run, rows, isShifted }: Rows): string {
  const counts = rows.map((row) => row.plants)
  const [first = 0] = counts
  if (run === 'round') return listInWords(rows.map((row, i) => ringWords(row.plants, row.atM, i)))
  if (rows.length === 1 && first === 1) return ''
  const isEven = counts.every((count) => count === first)
  if (rows.length === 1) return 'in one row'
  const [inAll = '', ...each] = numbersAlike([rows.length, ...counts])
  if (isEven && !isShifted) return `${inAll} by ${each[0]}`
  const inRows = `in ${inAll} rows`
  if (isEven) return `${inRows} of ${each[0]}, every second one shifted`
  const isAlternate = counts.every((count, i) => count === counts[i % 2])
  if (isAlternate) return `${inRows} of ${each[0]} and ${each[1]} in turn`
  return `${inRows} of ${listInWords(each)}`
}

function ringWords(plants: number, atM: number, ring: number): string {
  if (atM < 0.001) return ring === 0 ? 'in the middle' : 'one in the middle'
  return `${numberWord(plants)} ${ring === 0 ? 'round the rim' : 'inside them'}`
}

/** From which edge rows are measured, and from which the plants in them. */
export function sidesOf({ run }: Rows, shape: Space['shape']): readonly [string, string] {
  if (shape === 'round') return ['nearest point of the rim', 'left of the container']
  return run === 'along' ? ['long side', 'end'] : ['end', 'long side']
}

/** Where the plants of each row stand: '20 cm, 60 cm, 1 m'; 'as in row 1' where they stand alike. */
export function placesWords(rows: readonly Row[], unit: LengthUnit): string[] {
  const places = rows.map(({ alongM }) => alongM.map((m) => showLength(m, unit)).join(', '))
  return places.map((words, i) => {
    const first = places.indexOf(words)
    return first < i ? `as in row ${first + 1}` : words
  })
}

/** How to lay it out: distances of rows and of the first row from the edge. */
export function tapeSentence(rows: Rows, space: Pick<Space, 'shape' | 'lengthM'>, unit: LengthUnit): string {
  const length = (m: number): string => showLength(m, unit)
  const first = rows.rows[0]
  if (rows.run === 'round') {
    if (rows.rows.length === 1 && rows.firstM > space.lengthM / 2 - 0.001) return 'It stands in the middle.'
    const next = rows.apartM === null ? '' : `; each ring is ${length(rows.apartM)} inside the last`
    return `The outer ring stands ${length(rows.firstM)} from the rim${next}.`
  }
  const [side, end] = sidesOf(rows, space.shape)
  const apart =
    rows.apartM === null
      ? `The row stands ${length(rows.firstM)} from the ${side}`
      : `Rows ${length(rows.apartM)} apart, the first ${length(rows.firstM)} from the ${side}`
  const step = rows.stepM === null ? '' : `; in the row ${length(rows.stepM)} from plant to plant`
  const begin = first?.alongM[0] === undefined ? '' : `, the first ${length(first.alongM[0])} from the ${end}`
  const second = rows.rows[1]?.alongM[0]
  const shifted = rows.isShifted && second !== undefined ? ` (in every second row ${length(second)})` : ''
  return `${apart}${step}${begin}${shifted}.`
}

/** 'Heads of 1.0 to 2.0 kg are to be expected, 14 to 18 cm across.' */
export function headSentence(head: HeadSize, unit: LengthUnit): string {
  const across = (m: number): string => showLength(Math.round(m * 100) / 100, unit)
  const [low, high] = [across(head.lowM), across(head.highM)]
  const width = low === high ? high : `${low.replace(/\u00a0(cm|in)$/, '')} to ${high}`
  return `Expect heads of ${showWeightRange(head.lowKg, head.highKg, unit)}, ${width} across.`
}

/** 'published', 'common practice', 'from memory', 'worked out', 'your own' */
export function sourceWords(source: HeadSize['source']): string {
  if (source === 'derived') return 'worked out'
  if (source === 'memory') return 'from memory'
  return source === 'grower' ? 'your own' : source
}

/** What could be given to each plant without losing one; null where it is next to nothing. */
export function spareSentence(layout: SpaceLayout, space: Space, unit: LengthUnit): string | null {
  if (layout.couldBeM === null || layout.plants < 2) return null
  if (layout.couldBeM < space.spacingM + 0.01) return null
  return `As many still fit at ${showLength(layout.couldBeM, unit)}.`
}

/** What the soil of a container or frame says to so many; null where it sets no limit below them. */
export function soilSentence(space: Space, plants: number, unit: LengthUnit): string | null {
  if (space.bySoil === null || space.bySoil >= plants || plants === 0) return null
  const each =
    unit === 'm' ? `${space.litresEach} litres` : `${Math.round(space.litresEach / 3.785411784)} US gallons`
  const fed = space.bySoil === 0 ? 'not even one plant' : numberWord(space.bySoil)
  return `Its soil feeds ${fed}, at ${each} for each: fewer than have room, unless roots reach the ground below.`
}

/** Who stands there in those weeks, and what room is left. */
export function neighbourSentences(space: Space): string[] {
  const { neighbours, roomBeside } = space
  if (neighbours.length === 0) return []
  const counts = numbersAlike(neighbours.map(({ plants }) => plants))
  const who = neighbours.map(
    ({ cropName, until, isGuessed }, i) =>
      `${counts[i]} of ${cropName} until ${isGuessed ? 'about ' : ''}${dayMonthYear(until)}`,
  )
  const room =
    roomBeside === 0
      ? 'They leave no room.'
      : `They leave room for ${numberWord(roomBeside)} at this spacing.`
  return [`In this bed stand ${listInWords(who)}. ${room}`]
}

/** The verdict on a spacing, in the reader's unit. */
export const roomWords = (space: Space, unit: LengthUnit): string => lengthsInText(space.room.words, unit)
