/** Head and leaf lettuce. They bolt by heat and long days, not by cold. */
import {
  type Crop,
  derived,
  type Frost,
  fromMemory,
  fromPractice,
  type Germination,
  published,
} from './crop.js'
import { HARRINGTON_MINGES, LETTUCE_EMERGENCE } from './germination-tables.js'
import {
  BASE_C,
  degreeDaysFromPacket,
  emergenceFrom,
  KNOTT_BEST,
  KNOTT_MAX,
  KNOTT_MIN_TENDER,
  UPPER_C,
} from './growth-rates.js'

const germination: Germination = {
  points: LETTUCE_EMERGENCE,
  source: 'published',
  note: HARRINGTON_MINGES,
  minSoilC: published(
    1.7,
    'lowest of most tables, 35 °F; comes up at 0 °C in 49 days (Harrington & Minges 1954)',
  ),
  maxSoilC: derived(
    27,
    '99 % normal seedlings at 25 °C, 12 % at 30 °C, none at 35 °C (Harrington & Minges 1954): the seed goes dormant',
  ),
}

const frost: Frost = {
  damageC: published(
    -1,
    'stands light frost; 26 to 31 °F burns leaves (Reeves, cold tolerance of vegetables)',
  ),
  killC: fromMemory(-5, 'hardened, young leaves'),
  youngC: fromMemory(-3, 'first guess'),
}

const shared = {
  botanical: 'Lactuca sativa',
  baseC: BASE_C,
  upperC: UPPER_C,
  bestMeanC: KNOTT_BEST,
  minMeanC: KNOTT_MIN_TENDER,
  maxMeanC: KNOTT_MAX,
  germination,
  coldBolting: null,
  frost,
} as const

const TIP_BURN = 'tip burn comes with hot fast growth and swings of water (Univ. Delaware)'

export const LETTUCES: readonly Crop[] = [
  {
    ...shared,
    id: 'lettuce-head',
    name: 'Lettuce, heading',
    forms: 'head',
    usualStart: 'planted-out',
    packetDays: fromMemory(55, '60 to 80 days from seed, three to four weeks of them raised indoors'),
    degreeDays: degreeDaysFromPacket(
      'planted-out',
      { toReady: 55, heading: 0.5, keeps: 0.15, raising: 25 },
      emergenceFrom(4, HARRINGTON_MINGES),
    ),
    heat: {
      aboveC: fromMemory(26, `days above 24 to 27 °C give loose, bitter heads; ${TIP_BURN}`),
      watchHours: derived(12, 'three afternoons of four hours'),
      likelyHours: derived(
        35,
        'constant 25 °C gave no heads, two weeks of heat were reversible; first guess',
      ),
      nightAboveC: fromMemory(18, 'nights above 16 to 18 °C make it worse'),
      harm: 'loose, bitter heads and tip burn',
    },
    heatBolting: {
      maxAboveC: fromMemory(26, 'days above 24 to 27 °C'),
      dayLongerThanHours: fromMemory(13, 'a long-day plant; warmth counts more than day length'),
      watchDays: fromMemory(5, 'first guess'),
      likelyDays: derived(15, 'two weeks of heat were still reversible in a growth-chamber study (abstract)'),
    },
    spacing: {
      betweenPlantsM: fromPractice(0.3, '10 to 12 in'),
      containerLitres: fromMemory(6, 'growers’ rule'),
    },
    feeding: fromPractice('One light nitrogen feed three weeks after planting out.', 'growers’ rule'),
    readiness: fromPractice(
      'The head is firm yet gives a little when pressed. Cut in the cool of the morning.',
      'growers’ rule',
    ),
  },
  {
    ...shared,
    id: 'lettuce-leaf',
    name: 'Lettuce, leaf',
    forms: 'leaves',
    usualStart: 'sown',
    packetDays: fromMemory(48, '40 to 55 days from seed'),
    degreeDays: degreeDaysFromPacket(
      'sown',
      { toReady: 48, heading: null, keeps: 0.35, raising: 0 },
      emergenceFrom(4, HARRINGTON_MINGES),
    ),
    heat: null,
    heatBolting: {
      maxAboveC: fromMemory(27, 'a little more patient than heading kinds'),
      dayLongerThanHours: fromMemory(13, 'a long-day plant; warmth counts more than day length'),
      watchDays: fromMemory(5, 'first guess'),
      likelyDays: fromMemory(15, 'first guess'),
    },
    spacing: {
      betweenPlantsM: fromPractice(0.2, '6 to 10 in'),
      containerLitres: fromMemory(3, 'growers’ rule'),
    },
    feeding: fromPractice('One light nitrogen feed after the first picking.', 'growers’ rule'),
    readiness: fromPractice(
      'Leaves are as long as a hand. Pick outer leaves, or cut all and let it grow again.',
      'growers’ rule',
    ),
  },
]
