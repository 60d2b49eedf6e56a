/** Spinach: bolts by long days. */
import { type Crop, derived, fromMemory, fromPractice, published } from './crop.js'
import { HARRINGTON_MINGES, SPINACH_EMERGENCE } from './germination-tables.js'
import {
  BASE_C,
  degreeDaysFromPacket,
  emergenceFrom,
  KNOTT_BEST,
  KNOTT_MAX,
  KNOTT_MIN_HARDY,
  UPPER_C,
} from './growth-rates.js'

export const SPINACH: Crop = {
  id: 'spinach',
  name: 'Spinach',
  botanical: 'Spinacia oleracea',
  forms: 'leaves',
  usualStart: 'sown',
  baseC: BASE_C,
  upperC: UPPER_C,
  bestMeanC: KNOTT_BEST,
  minMeanC: KNOTT_MIN_HARDY,
  maxMeanC: KNOTT_MAX,
  packetDays: fromMemory(44, '37 to 50 days from seed, seed catalogues'),
  degreeDays: degreeDaysFromPacket(
    'sown',
    { toReady: 44, heading: null, keeps: 0.3, raising: 0 },
    emergenceFrom(7, HARRINGTON_MINGES),
  ),
  germination: {
    points: SPINACH_EMERGENCE,
    source: 'published',
    note: HARRINGTON_MINGES,
    minSoilC: published(
      1.7,
      'lowest of most tables, 35 °F; comes up at 0 °C in 63 days (Harrington & Minges 1954)',
    ),
    maxSoilC: derived(
      24,
      '82 % normal seedlings at 15 °C, 52 % at 20 °C, 28 % at 25 °C (Harrington & Minges 1954); 75 °F in the IFAS table',
    ),
  },
  heat: null,
  coldBolting: null,
  heatBolting: {
    maxAboveC: fromMemory(21, 'quality falls above 24 °C; warmth hastens what long days begin'),
    dayLongerThanHours: published(
      14,
      'usual rule; at 16 h more than 85 % had bolted three days after planting out, at 10 h none (Chun et al. 2001, HortScience 36:889)',
    ),
    watchDays: fromMemory(5, 'first guess'),
    likelyDays: fromMemory(14, 'first guess'),
  },
  frost: {
    damageC: published(-6.7, 'can go below 20 °F briefly (Reeves, cold tolerance of vegetables)'),
    killC: fromMemory(-10, 'hardened'),
    youngC: fromMemory(-5, 'first guess'),
  },
  spacing: {
    betweenPlantsM: fromPractice(0.12, '4 to 6 in'),
    containerLitres: fromMemory(2, 'growers’ rule'),
  },
  feeding: fromPractice('One light nitrogen feed when it has four leaves.', 'growers’ rule'),
  readiness: fromPractice(
    'Five or six good leaves. Pick the outer ones, or cut the plant before it stretches.',
    'growers’ rule',
  ),
}
