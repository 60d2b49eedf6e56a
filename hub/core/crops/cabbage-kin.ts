/** Broccoli, cauliflower, sprouts, kale, kohlrabi (all of the cabbage's species), Chinese cabbage and radish. */
import { CABBAGE_COLD, CABBAGE_FROST, CABBAGE_GERMINATION, CABBAGE_HEAT } from './cabbages.js'
import {
  type Crop,
  derived,
  fromMemory,
  fromPractice,
  type Germination,
  type HeatLimit,
  published,
} from './crop.js'
import { CAULIFLOWER_EMERGENCE, HARRINGTON_MINGES, RADISH_EMERGENCE } from './germination-tables.js'
import {
  BASE_C,
  degreeDaysFromPacket,
  emergenceFrom,
  KNOTT_BEST,
  KNOTT_MAX,
  KNOTT_MIN_HARDY,
  KNOTT_MIN_TENDER,
  UPPER_C,
} from './growth-rates.js'

const CATALOGUES = 'range of seed catalogues'
const OF_CABBAGE = 'no table of its own; that of cabbage, its nearest kin'
const asCabbage: Germination = { ...CABBAGE_GERMINATION, source: 'derived', note: OF_CABBAGE }
const likeCabbage = emergenceFrom(9, OF_CABBAGE)
const SOIL_RANGE = 'Univ. Florida IFAS table of soil temperatures for vegetable seed (secondary copy)'

const climate = {
  baseC: BASE_C,
  upperC: UPPER_C,
  bestMeanC: KNOTT_BEST,
  minMeanC: KNOTT_MIN_HARDY,
  maxMeanC: KNOTT_MAX,
}

const curdHeat: HeatLimit = {
  aboveC: published(
    27,
    'riciness above 80 °F while heading (seed house’s agronomy note); blind plants after days above 86 °F (New England Vegetable Management Guide); no marketable head at mean highs above 30 °C (Univ. Saskatchewan)',
  ),
  watchHours: derived(10, 'curds and buds suffer sooner than leaves; two days of five hours'),
  likelyHours: derived(
    30,
    'a week at 36 °C when the head starts ruins it (Björkman & Pearson 1998); first guess',
  ),
  nightAboveC: published(
    20,
    'no marketable broccoli head at mean lows above 20 °C (Univ. Saskatchewan, heat stress and broccoli)',
  ),
  harm: 'uneven, ricey or leafy curds',
}

const WATER_AND_FEED = fromPractice(
  'Feed with nitrogen three weeks after planting out and again when heads or curds start.',
  'common side-dressing of brassicas',
)

export const CABBAGE_KIN: readonly Crop[] = [
  {
    id: 'broccoli',
    name: 'Broccoli',
    botanical: 'Brassica oleracea var. italica',
    forms: 'curd',
    usualStart: 'planted-out',
    ...climate,
    packetDays: fromMemory(65, `50 to 80 days, ${CATALOGUES}`),
    degreeDays: degreeDaysFromPacket(
      'planted-out',
      { toReady: 65, heading: 0.65, keeps: 0.12, raising: 35 },
      likeCabbage,
    ),
    germination: asCabbage,
    heat: { ...curdHeat, harm: 'uneven heads with large, open buds' },
    coldBolting: null,
    heatBolting: null,
    frost: {
      damageC: published(-3, '26 to 31 °F burns leaves (Reeves, cold tolerance of vegetables)'),
      killC: fromMemory(-8, 'hardened plants come through −6 °C'),
      youngC: published(-5.6, 'unhardened broccoli dies below 22 °F (Reeves)'),
    },
    spacing: {
      betweenPlantsM: fromPractice(0.45, '18 in'),
      containerLitres: fromMemory(19, '5 US gallons a plant'),
    },
    feeding: WATER_AND_FEED,
    readiness: fromPractice(
      'The head is tight and the outer buds just begin to swell. Cut before any yellow shows.',
      'growers’ rule',
    ),
  },
  {
    id: 'cauliflower',
    name: 'Cauliflower',
    botanical: 'Brassica oleracea var. botrytis',
    forms: 'curd',
    usualStart: 'planted-out',
    ...climate,
    minMeanC: KNOTT_MIN_TENDER,
    packetDays: fromMemory(70, `55 to 85 days, ${CATALOGUES}`),
    degreeDays: degreeDaysFromPacket(
      'planted-out',
      { toReady: 70, heading: 0.65, keeps: 0.1, raising: 35 },
      emergenceFrom(10, HARRINGTON_MINGES),
    ),
    germination: {
      points: CAULIFLOWER_EMERGENCE,
      source: 'published',
      note: HARRINGTON_MINGES,
      minSoilC: published(4.4, `40 °F, ${SOIL_RANGE}`),
      maxSoilC: published(35, `95 °F, ${SOIL_RANGE}`),
    },
    heat: curdHeat,
    coldBolting: null,
    heatBolting: null,
    frost: {
      damageC: published(-2, '26 to 31 °F burns leaves (Reeves); curds spoil sooner'),
      killC: fromMemory(-6, 'less hardy than cabbage'),
      youngC: fromMemory(-3, 'less hardy than cabbage'),
    },
    spacing: {
      betweenPlantsM: fromPractice(0.5, '18 to 24 in'),
      containerLitres: fromMemory(22, 'a little more than broccoli'),
    },
    feeding: WATER_AND_FEED,
    readiness: fromPractice(
      'The curd is full and still smooth and close. Tie leaves over it once it is the size of an egg.',
      'growers’ rule',
    ),
  },
  {
    id: 'brussels-sprouts',
    name: 'Brussels sprouts',
    botanical: 'Brassica oleracea var. gemmifera',
    forms: 'sprouts',
    usualStart: 'planted-out',
    ...climate,
    packetDays: fromMemory(105, `90 to 120 days, ${CATALOGUES}`),
    degreeDays: degreeDaysFromPacket(
      'planted-out',
      { toReady: 105, heading: 0.6, keeps: 0.5, raising: 35 },
      likeCabbage,
    ),
    germination: asCabbage,
    heat: {
      ...CABBAGE_HEAT,
      aboveC: published(
        30,
        'sprouts stay loose “when temperatures are in the 90s” °F (Univ. Delaware); taken a little earlier',
      ),
      harm: 'loose, open sprouts',
    },
    coldBolting: {
      ...CABBAGE_COLD,
      juvenileLeaves: fromMemory(15, 'feels cold only as a large plant'),
      watchDays: fromMemory(28, 'six to eight weeks for full effect'),
      likelyDays: fromMemory(50, 'six to eight weeks for full effect'),
    },
    heatBolting: null,
    frost: {
      damageC: published(-6.7, 'can go below 20 °F briefly (Reeves)'),
      killC: fromMemory(-12, 'hardened'),
      youngC: CABBAGE_FROST.youngC,
    },
    spacing: {
      betweenPlantsM: fromPractice(0.6, '24 in'),
      containerLitres: fromMemory(30, 'tall plants that must not topple'),
    },
    feeding: fromPractice('Feed with nitrogen when sprouts begin to show; firm the soil.', 'growers’ rule'),
    readiness: fromPractice(
      'The lowest sprouts are firm and 2.5 to 4 cm wide. Pick from below; frost sweetens them.',
      'growers’ rule',
    ),
  },
  {
    id: 'kale',
    name: 'Kale',
    botanical: 'Brassica oleracea var. acephala',
    forms: 'leaves',
    usualStart: 'planted-out',
    ...climate,
    packetDays: fromMemory(55, `50 to 65 days, ${CATALOGUES}`),
    degreeDays: degreeDaysFromPacket(
      'planted-out',
      { toReady: 55, heading: null, keeps: 1.5, raising: 30 },
      likeCabbage,
    ),
    germination: asCabbage,
    heat: null,
    coldBolting: { ...CABBAGE_COLD, likelyDays: fromMemory(40, 'flowers in its second spring') },
    heatBolting: null,
    frost: {
      damageC: fromMemory(-9, 'can go below 20 °F briefly (Reeves); hardened well below'),
      killC: fromMemory(-15, 'hardened'),
      youngC: CABBAGE_FROST.youngC,
    },
    spacing: {
      betweenPlantsM: fromPractice(0.4, '12 to 18 in'),
      containerLitres: fromMemory(12, 'growers’ rule'),
    },
    feeding: fromPractice('Feed with nitrogen after each large picking.', 'growers’ rule'),
    readiness: fromPractice(
      'Leaves are as long as a hand. Pick the outer ones and leave the heart.',
      'growers’ rule',
    ),
  },
  {
    id: 'kohlrabi',
    name: 'Kohlrabi',
    botanical: 'Brassica oleracea var. gongylodes',
    forms: 'stem',
    usualStart: 'planted-out',
    ...climate,
    packetDays: fromMemory(50, `45 to 60 days, ${CATALOGUES}`),
    degreeDays: degreeDaysFromPacket(
      'planted-out',
      { toReady: 50, heading: 0.5, keeps: 0.25, raising: 28 },
      likeCabbage,
    ),
    germination: asCabbage,
    heat: {
      ...CABBAGE_HEAT,
      aboveC: fromMemory(27, 'woody stems in heat and drought'),
      harm: 'woody, split stems',
    },
    coldBolting: {
      ...CABBAGE_COLD,
      juvenileLeaves: fromMemory(5, 'feels cold younger than cabbage'),
      watchDays: fromMemory(7, 'a week near 10 °C is held to start it'),
      likelyDays: fromMemory(21, 'first guess'),
      noneAboveC: fromMemory(14, 'a week near 10 °C is held to start it'),
    },
    heatBolting: null,
    frost: {
      damageC: fromMemory(-4, 'stands hard frost, less than cabbage'),
      killC: fromMemory(-8, 'stands hard frost, less than cabbage'),
      youngC: fromMemory(-3, 'first guess'),
    },
    spacing: {
      betweenPlantsM: fromPractice(0.22, '8 to 10 in'),
      containerLitres: fromMemory(6, 'growers’ rule'),
    },
    feeding: fromPractice(
      'Steady water matters more than feeding; one light feed when stems swell.',
      'growers’ rule',
    ),
    readiness: fromPractice('The stem is 5 to 8 cm wide. Later it turns woody.', 'growers’ rule'),
  },
  {
    id: 'chinese-cabbage',
    name: 'Chinese cabbage',
    botanical: 'Brassica rapa subsp. pekinensis',
    forms: 'head',
    usualStart: 'planted-out',
    ...climate,
    minMeanC: KNOTT_MIN_TENDER,
    packetDays: fromMemory(62, `50 to 75 days, ${CATALOGUES}`),
    degreeDays: degreeDaysFromPacket(
      'planted-out',
      { toReady: 62, heading: 0.5, keeps: 0.2, raising: 25 },
      likeCabbage,
    ),
    germination: asCabbage,
    heat: {
      ...CABBAGE_HEAT,
      aboveC: fromMemory(27, 'as cabbage'),
      harm: 'loose heads and burnt inner leaf edges',
    },
    coldBolting: {
      feltBy: 'seed',
      juvenileLeaves: null,
      noneBelowC: derived(-2, 'frozen plants do not sense'),
      fullFromC: derived(2, 'as cabbage'),
      fullToC: derived(
        10,
        '12 °C for one to three weeks already hastens flowering (Sci. Hort. 25:217, 1985)',
      ),
      noneAboveC: derived(
        16,
        'raise at 18 °C and above (Sci. Hort. 25:217, 1985); buds after means below 15 °C',
      ),
      undoneAboveC: fromMemory(24, 'as cabbage'),
      watchDays: published(7, 'one to three weeks at 12 °C (Sci. Hort. 25:217, 1985)'),
      likelyDays: published(
        13,
        'buds after 13 days below 15 °C in early kinds, 43 in late ones (abstract, via Eurekamag)',
      ),
    },
    heatBolting: null,
    frost: {
      damageC: fromMemory(-2, 'stands light frost'),
      killC: fromMemory(-5, 'stands light frost'),
      youngC: fromMemory(-2, 'first guess'),
    },
    spacing: {
      betweenPlantsM: fromPractice(0.38, '12 to 18 in'),
      containerLitres: fromMemory(15, 'growers’ rule'),
    },
    feeding: WATER_AND_FEED,
    readiness: fromPractice('The head is full and firm when pressed from above.', 'growers’ rule'),
  },
  {
    id: 'radish',
    name: 'Radish',
    botanical: 'Raphanus sativus',
    forms: 'root',
    usualStart: 'sown',
    ...climate,
    packetDays: fromMemory(28, `22 to 35 days, ${CATALOGUES}`),
    degreeDays: degreeDaysFromPacket(
      'sown',
      { toReady: 28, heading: 0.5, keeps: 0.35, raising: 0 },
      emergenceFrom(6, HARRINGTON_MINGES),
    ),
    germination: {
      points: RADISH_EMERGENCE,
      source: 'published',
      note: HARRINGTON_MINGES,
      minSoilC: published(4.4, `40 °F, ${SOIL_RANGE}`),
      maxSoilC: published(35, `95 °F, ${SOIL_RANGE}`),
    },
    heat: {
      aboveC: fromMemory(27, 'roots turn hot and pithy'),
      watchHours: derived(10, 'two hot afternoons in a short life'),
      likelyHours: derived(25, 'first guess'),
      nightAboveC: null,
      harm: 'hot, pithy roots',
    },
    coldBolting: null,
    heatBolting: {
      maxAboveC: fromMemory(24, 'long warm days set it off'),
      dayLongerThanHours: fromMemory(14, 'a long-day plant'),
      watchDays: fromMemory(7, 'first guess'),
      likelyDays: fromMemory(21, 'first guess'),
    },
    frost: {
      damageC: fromMemory(-3, 'stands hard frost in most lists'),
      killC: fromMemory(-6, 'first guess'),
      youngC: fromMemory(-2, 'first guess'),
    },
    spacing: {
      betweenPlantsM: fromPractice(0.06, '2 to 3 in'),
      containerLitres: fromMemory(1, 'growers’ rule'),
    },
    feeding: fromPractice('None beyond good soil; steady water.', 'growers’ rule'),
    readiness: fromPractice('The root’s shoulder shows, 2 to 3 cm wide.', 'growers’ rule'),
  },
]
