/** Celery and coriander, of the carrot's family. */
import { type Crop, derived, fromMemory, fromPractice, published } from './crop.js'
import { CELERY_EMERGENCE, HARRINGTON_MINGES } from './germination-tables.js'
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

export const CARROT_KIN: readonly Crop[] = [
  {
    id: 'celery',
    name: 'Celery',
    botanical: 'Apium graveolens var. dulce',
    forms: 'stalks',
    usualStart: 'planted-out',
    baseC: BASE_C,
    upperC: UPPER_C,
    bestMeanC: KNOTT_BEST,
    minMeanC: KNOTT_MIN_TENDER,
    maxMeanC: KNOTT_MAX,
    packetDays: fromMemory(100, '85 to 120 days from planting out, seed catalogues'),
    degreeDays: degreeDaysFromPacket(
      'planted-out',
      { toReady: 100, heading: 0.5, keeps: 0.3, raising: 65 },
      emergenceFrom(12, HARRINGTON_MINGES),
    ),
    germination: {
      points: CELERY_EMERGENCE,
      source: 'published',
      note: HARRINGTON_MINGES,
      minSoilC: derived(5, 'comes up at 5 °C in 41 days, not at 0 °C (Harrington & Minges 1954)'),
      maxSoilC: derived(22, 'comes up at 20 °C, not at 25 °C (Harrington & Minges 1954)'),
    },
    heat: {
      aboveC: fromMemory(27, 'stringy, hollow stalks and black heart'),
      watchHours: derived(20, 'four afternoons of five hours'),
      likelyHours: derived(60, 'first guess'),
      nightAboveC: null,
      harm: 'stringy, hollow stalks and black heart',
    },
    coldBolting: {
      feltBy: 'plant',
      juvenileLeaves: fromMemory(5, 'transplants of five to six leaves feel it'),
      noneBelowC: derived(-2, 'frozen plants do not sense'),
      fullFromC: fromMemory(3, 'weeks below 10 to 13 °C'),
      fullToC: fromMemory(10, 'weeks below 10 to 13 °C'),
      noneAboveC: fromMemory(14, 'weeks below 10 to 13 °C'),
      undoneAboveC: fromMemory(24, 'warm days soon after cold cancel part of it'),
      watchDays: fromMemory(7, 'growers’ rule: a week or more below 10 °C'),
      likelyDays: fromMemory(14, 'growers’ rule: two weeks below 10 °C'),
    },
    heatBolting: null,
    frost: {
      damageC: fromMemory(-1, 'stands light frost'),
      killC: fromMemory(-4, 'first guess'),
      youngC: fromMemory(-1, 'first guess'),
    },
    spacing: {
      betweenPlantsM: fromPractice(0.25, '8 to 12 in'),
      containerLitres: fromMemory(10, 'thirsty; more soil holds more water'),
    },
    feeding: fromPractice('Feed every two to three weeks and never let it dry out.', 'growers’ rule'),
    readiness: fromPractice(
      'Stalks are as long as a forearm from soil to first joint. Cut outer ones or the whole plant.',
      'growers’ rule',
    ),
  },
  {
    id: 'coriander',
    name: 'Coriander',
    botanical: 'Coriandrum sativum',
    forms: 'leaves',
    usualStart: 'sown',
    baseC: BASE_C,
    upperC: UPPER_C,
    bestMeanC: {
      from: derived(15.6, 'no range of its own found; as other leaf crops of the cool season'),
      to: derived(18.3, 'no range of its own found; as other leaf crops of the cool season'),
    },
    minMeanC: derived(KNOTT_MIN_HARDY.value, 'no range of its own found; stands light frost'),
    maxMeanC: derived(KNOTT_MAX.value, 'bolts above 75 °F (Oregon State Univ. Extension)'),
    packetDays: fromMemory(50, '45 to 60 days to leaf, seed catalogues'),
    degreeDays: degreeDaysFromPacket(
      'sown',
      { toReady: 50, heading: null, keeps: 0.25, raising: 0 },
      derived(120, '8 to 14 days at 15 to 20 °C, from memory; first guess'),
    ),
    germination: {
      points: [],
      source: 'memory',
      note: 'no table found; one to two weeks at 15 to 20 °C',
      minSoilC: fromMemory(10, '50 °F'),
      maxSoilC: fromMemory(27, '80 °F'),
    },
    heat: null,
    coldBolting: null,
    heatBolting: {
      maxAboveC: published(
        24,
        'bolts above 75 °F and at days over 12 h (Oregon State Univ. Extension, via a newspaper)',
      ),
      dayLongerThanHours: published(12, 'Oregon State Univ. Extension, via a newspaper'),
      watchDays: derived(4, 'first guess'),
      likelyDays: derived(12, 'leaf for 8 to 10 weeks in cool weather, a few in warm; first guess'),
    },
    frost: {
      damageC: fromMemory(-4, 'stands light frost'),
      killC: fromMemory(-8, 'hardened'),
      youngC: fromMemory(-3, 'first guess'),
    },
    spacing: {
      betweenPlantsM: fromPractice(0.1, '3 to 6 in'),
      containerLitres: fromMemory(2, 'growers’ rule'),
    },
    feeding: fromPractice('One light nitrogen feed; too much costs flavour.', 'growers’ rule'),
    readiness: fromPractice(
      'Plants stand 15 cm high. Cut a third at a time; sow again every three weeks.',
      'growers’ rule',
    ),
  },
]
