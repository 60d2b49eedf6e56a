/**
 * When pests of the cabbage family begin to fly, as degree days. Facts only; what is done about them is in rules/.
 * Each table has its own base and its own day to count from: degree days of one say nothing by another's threshold.
 */
import { fromMemory, fromPractice, published, type Sourced } from '../crops/crop.js'

const fahrenheit = (f: number): number => ((f - 32) * 5) / 9
/** a difference of temperatures, or degree days */
const fahrenheitDegrees = (f: number): number => (f * 5) / 9

export interface Brood {
  /** what flies from the threshold on: "the first cabbage root flies" */
  readonly who: string
  /** °C·d above the pest's base, from 1 January on, until they begin to fly */
  readonly flightC: Sourced
}

export interface Pest {
  readonly id: 'root-fly' | 'small-white'
  /** with its American name */
  readonly name: string
  /** °C */
  readonly baseC: Sourced
  /** those of a year that have a threshold, in their order: at least one */
  readonly broods: readonly [Brood, ...Brood[]]
  /** is it found south of the equator? From memory */
  readonly isInSouth: boolean
  /** where to look and for what */
  readonly lookFor: string
}

const WISCONSIN = 'Univ. Wisconsin–Madison Extension, XHT1087 (Delahaut, rev. 2015)'

export const PESTS: readonly Pest[] = [
  {
    id: 'root-fly',
    name: 'cabbage root fly (cabbage maggot)',
    baseC: published(fahrenheit(43), `43 °F, ${WISCONSIN}`),
    broods: [
      {
        who: 'the first cabbage root flies',
        flightC: published(
          fahrenheitDegrees(300),
          `300 °F·d, ${WISCONSIN}; 301 by Eckenrode & Chapman 1972 (secondary copy)`,
        ),
      },
      {
        who: 'the cabbage root flies of the second brood',
        flightC: published(fahrenheitDegrees(1476), `1476 °F·d, ${WISCONSIN}`),
      },
      {
        who: 'the cabbage root flies of the third brood',
        flightC: published(fahrenheitDegrees(2652), `2652 °F·d, ${WISCONSIN}`),
      },
    ],
    isInSouth: false,
    lookFor: 'small white eggs in the soil against the stems, and plants that wilt at noon',
  },
  {
    id: 'small-white',
    name: 'small white (imported cabbageworm)',
    baseC: published(fahrenheit(50), `50 °F, ${WISCONSIN}`),
    broods: [
      {
        who: 'the first small white butterflies',
        flightC: published(fahrenheitDegrees(150), `150 to 240 °F·d, ${WISCONSIN}: the earlier end`),
      },
    ],
    isInSouth: true,
    lookFor: 'single yellow eggs and green caterpillars under the leaves and in the heart',
  },
]

/** Degree days are counted from here, north of the equator as the tables have it. */
export const COUNT_FROM: Sourced<string> = published('01-01', `1 January, ${WISCONSIN}`)
/** South of it the year is turned by half: nobody's table. */
export const COUNT_FROM_SOUTH: Sourced<string> = fromPractice(
  '07-01',
  'the northern tables turned by half a year',
)

/** Meshes that keep them out, mm. */
export const MESH = {
  rootFlyMm: fromMemory(1.3, 'insect-proof mesh'),
  whitesMm: fromMemory(7, '5 to 7 mm keeps butterflies out'),
} as const

/** How the edges are closed. */
export const EDGES: Sourced<string> = published(
  'bury or weigh down the edges (5 cm), leave slack to grow into, and do not stretch it: that opens the mesh',
  'RHS, Insect-proof mesh',
)
