/** Headed cabbages, by how long they take and how large they grow. */
import {
  type ColdBolting,
  type Crop,
  derived,
  type Frost,
  fromMemory,
  fromPractice,
  type Germination,
  type HeatLimit,
  published,
} from './crop.js'
import { CABBAGE_EMERGENCE, HARRINGTON_MINGES } from './germination-tables.js'
import {
  BASE_C,
  degreeDaysFromPacket,
  emergenceFrom,
  KNOTT_BEST,
  KNOTT_MAX,
  KNOTT_MIN_HARDY,
  UPPER_C,
} from './growth-rates.js'

const SOIL_RANGE = 'Univ. Florida IFAS table of soil temperatures for vegetable seed (secondary copy)'

export const CABBAGE_GERMINATION: Germination = {
  points: CABBAGE_EMERGENCE,
  source: 'published',
  note: HARRINGTON_MINGES,
  minSoilC: published(4.4, `40 °F, ${SOIL_RANGE}`),
  maxSoilC: published(35, `95 °F, ${SOIL_RANGE}`),
}

/** Loose heads: see the note of each number; no published dose of hours was found. */
export const CABBAGE_HEAT: HeatLimit = {
  aboveC: fromPractice(
    27,
    '80 °F; growth is best at 15 to 20 °C and stops above 25 °C (Univ. Missouri, Trinklein 2018); a heat-tolerant kind stopped heading at 27/29 °C (abstract, J. Agron. Crop Sci. 1995)',
  ),
  watchHours: derived(15, 'a spell of three days with five hours each'),
  likelyHours: derived(45, 'three such spells while the head forms; first guess'),
  nightAboveC: fromMemory(20, 'warm nights spend what the day has made'),
  harm: 'loose, puffy heads and tip burn',
}

/** Plants past the juvenile size flower after weeks of cold (Wiebe, Acta Hort. 371, on undoing by warmth). */
export const CABBAGE_COLD: ColdBolting = {
  feltBy: 'plant',
  juvenileLeaves: fromMemory(
    8,
    'stem as thick as a pencil (6 to 8 mm), 7 to 9 leaves; a US guide has leaves wider than 5 cm, a seed house 10 cm',
  ),
  noneBelowC: derived(-2, 'frozen plants do not sense'),
  fullFromC: fromMemory(2, 'most sensitive at daily means of 5 to 7 °C; 4 to 10 °C in most accounts'),
  fullToC: fromMemory(8, 'most sensitive at daily means of 5 to 7 °C; 4 to 10 °C in most accounts'),
  noneAboveC: derived(13, 'accounts give effects up to 12 to 15 °C, mostly below 7'),
  undoneAboveC: fromMemory(24, 'warm days soon after cold cancel part of it, surely above 24 °C'),
  watchDays: fromMemory(10, 'US growers’ rule: ten days or more'),
  likelyDays: fromMemory(28, 'four to eight weeks for full effect'),
}

/** CROPGRO's cabbage: leaf damage at −6 °C, death at −10 °C. */
const CROPGRO = 'CROPGRO cabbage species file (DSSAT, CBGRO048.SPE)'
export const CABBAGE_FROST: Frost = {
  damageC: published(-6, CROPGRO),
  killC: published(-10, CROPGRO),
  youngC: derived(
    -5,
    'as unhardened broccoli, which dies below 22 °F (Reeves, cold tolerance of vegetables)',
  ),
}

const FEEDING = published(
  'Feed with nitrogen once when heads start; stop when they are half size, or they split and burn at the tips.',
  'side-dressing when half grown: Univ. Illinois Extension; the stop is common practice',
)
const READINESS = published(
  'The head is solid when pressed by hand. Cut before it cracks: it stands about two weeks in summer, three to four in autumn.',
  'extension advice (secondary copies)',
)

interface Kind {
  readonly id: string
  readonly name: string
  readonly botanical?: string
  readonly packetDays: number
  readonly packetNote: string
  readonly heading: number
  readonly keeps: number
  readonly spacing: Crop['spacing']
  readonly frost?: Frost
}

const ILLINOIS = 'Univ. Illinois Extension, Growing cabbage'
const CONTAINER = published(19, '5 US gallons, 25 cm apart at least (secondary page)')

const cabbage = (kind: Kind): Crop => ({
  id: kind.id,
  name: kind.name,
  botanical: kind.botanical ?? 'Brassica oleracea var. capitata',
  forms: 'head',
  usualStart: 'planted-out',
  baseC: BASE_C,
  upperC: UPPER_C,
  bestMeanC: KNOTT_BEST,
  minMeanC: KNOTT_MIN_HARDY,
  maxMeanC: KNOTT_MAX,
  packetDays: fromMemory(kind.packetDays, kind.packetNote),
  degreeDays: degreeDaysFromPacket(
    'planted-out',
    { toReady: kind.packetDays, heading: kind.heading, keeps: kind.keeps, raising: 35 },
    emergenceFrom(9, HARRINGTON_MINGES),
  ),
  germination: CABBAGE_GERMINATION,
  heat: CABBAGE_HEAT,
  coldBolting: CABBAGE_COLD,
  heatBolting: null,
  frost: kind.frost ?? CABBAGE_FROST,
  spacing: kind.spacing,
  feeding: FEEDING,
  readiness: READINESS,
})

/** Cabbages of the library, and those that growers made from them. */
export const isCabbage = (crop: Pick<Crop, 'forms' | 'botanical'>): boolean =>
  crop.forms === 'head' && /^Brassica oleracea/.test(crop.botanical)

export const CABBAGES: readonly Crop[] = [
  cabbage({
    id: 'cabbage-early',
    name: 'Cabbage, early',
    packetDays: 65,
    packetNote: `60 to 75 days from planting out: ${ILLINOIS} (Early Jersey Wakefield 63, Green Cup 73)`,
    heading: 0.5,
    keeps: 0.2,
    spacing: {
      betweenPlantsM: published(0.35, `9 to 18 in by wanted head size, ${ILLINOIS}; 14 in for 1 to 1.5 kg`),
      containerLitres: CONTAINER,
    },
  }),
  cabbage({
    id: 'cabbage-mid',
    name: 'Cabbage, mid-season',
    packetDays: 82,
    packetNote: '75 to 90 days, seed catalogues',
    heading: 0.5,
    keeps: 0.25,
    spacing: {
      betweenPlantsM: published(
        0.4,
        '45 × 40 cm gave the best heads of 1 to 2 kg, Kołota & Chohura, Acta Sci. Pol. Hort. Cult.',
      ),
      containerLitres: CONTAINER,
    },
  }),
  cabbage({
    id: 'cabbage-storage',
    name: 'Cabbage, storage',
    packetDays: 105,
    packetNote: '95 to 120 days, seed catalogues',
    heading: 0.55,
    keeps: 0.35,
    spacing: {
      betweenPlantsM: fromMemory(0.5, '18 to 24 in for large, late kinds'),
      containerLitres: fromMemory(30, 'larger heads want more than the usual 5 gallons'),
    },
  }),
  cabbage({
    id: 'cabbage-savoy',
    name: 'Cabbage, savoy',
    botanical: 'Brassica oleracea var. sabauda',
    packetDays: 80,
    packetNote: `70 to 90 days: ${ILLINOIS} (Savoy Ace 74, Savoy King 85)`,
    heading: 0.5,
    keeps: 0.4,
    frost: {
      damageC: fromMemory(-8, 'savoys are hardier than smooth cabbages'),
      killC: fromMemory(-13, 'savoys are hardier than smooth cabbages'),
      youngC: CABBAGE_FROST.youngC,
    },
    spacing: {
      betweenPlantsM: fromPractice(0.45, '18 in'),
      containerLitres: CONTAINER,
    },
  }),
  cabbage({
    id: 'cabbage-giant',
    name: 'Cabbage, giant',
    packetDays: 120,
    packetNote: '110 to 150 days, seed catalogues',
    heading: 0.5,
    keeps: 0.25,
    spacing: {
      betweenPlantsM: fromMemory(0.6, '24 in and more'),
      containerLitres: fromMemory(60, 'half a barrel'),
    },
  }),
]
