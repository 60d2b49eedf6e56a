/** Garden pea: heat while flowering costs pods. */
import { type Crop, derived, fromMemory, fromPractice, published } from './crop.js'
import { HARRINGTON_MINGES, PEA_EMERGENCE } from './germination-tables.js'
import {
  BASE_C,
  degreeDaysFromPacket,
  emergenceFrom,
  KNOTT_BEST,
  KNOTT_MAX,
  KNOTT_MIN_TENDER,
  UPPER_C,
} from './growth-rates.js'

export const PEA: Crop = {
  id: 'pea',
  name: 'Pea',
  botanical: 'Pisum sativum',
  forms: 'pods',
  usualStart: 'sown',
  baseC: BASE_C,
  upperC: UPPER_C,
  bestMeanC: KNOTT_BEST,
  minMeanC: KNOTT_MIN_TENDER,
  maxMeanC: KNOTT_MAX,
  packetDays: fromMemory(60, '55 to 70 days from seed, seed catalogues'),
  degreeDays: {
    ...degreeDaysFromPacket(
      'sown',
      { toReady: 60, heading: 0.65, keeps: 0.12, raising: 0 },
      emergenceFrom(9, HARRINGTON_MINGES),
    ),
    toHeading: derived(450, '65 % of the way to ready; first guess, to be tuned from your own harvests'),
    toReady: published(
      694,
      'earliest varieties need 1250 °F·d over 40 °F from sowing (Univ. Delaware Weekly Crop Update 2025)',
    ),
    toFinished: derived(778, 'stands for another 12 % of its time; first guess'),
  },
  germination: {
    points: PEA_EMERGENCE,
    source: 'published',
    note: HARRINGTON_MINGES,
    minSoilC: published(4.4, '40 °F, Univ. Florida IFAS table (secondary copy)'),
    maxSoilC: published(29.4, '85 °F, Univ. Florida IFAS table (secondary copy)'),
  },
  heat: {
    aboveC: fromMemory(27, 'flowers drop above 27 to 29 °C'),
    watchHours: derived(10, 'two afternoons of five hours in flower'),
    likelyHours: derived(30, 'first guess'),
    nightAboveC: null,
    harm: 'dropped flowers and half-empty pods',
  },
  coldBolting: null,
  heatBolting: null,
  frost: {
    damageC: fromMemory(-2, 'leaves stand hard frost, flowers and pods do not'),
    killC: fromMemory(-6, 'hardened'),
    youngC: fromMemory(-4, 'seedlings come through moderate frost'),
  },
  spacing: {
    betweenPlantsM: fromPractice(0.08, '2 to 4 in in the row'),
    containerLitres: fromMemory(3, 'growers’ rule'),
  },
  feeding: fromPractice('No nitrogen: peas make their own.', 'growers’ rule'),
  readiness: fromPractice(
    'Pods are round and bright and the peas just touch each other. Pick every other day.',
    'growers’ rule',
  ),
}
