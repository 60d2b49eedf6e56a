/** Sow what is planned: under cover on its date; in place when the soil is fit, which may be sooner or later. */
import { daysBetween } from '../../../../shared/local-time.js'
import { soilForSowing } from '../../crops/emergence.js'
import { daysToEmergence } from '../../crops/germination.js'
import { celsius } from '../../words.js'
import { daysAfter, entriesOf, type PlantingView, plantingTask, type Rule } from '../task.js'

const WINDOW_DAYS = 7
/** Soil that is fit lets a planned sowing be brought forward by so much. */
const SOONER_DAYS = 14
/**
 * A date so long past without a word in the journal was sown, or never will be: a planting may also be entered after the
 * event, and nobody wants to be told for ever.
 */
export const FORGOTTEN_AFTER_DAYS = 14

export const sow: Rule = (view, today) => {
  const { planting, crop, name } = view
  const { sownOn, plantedOutOn } = planting
  if (sownOn === null || daysBetween(sownOn, today) > FORGOTTEN_AFTER_DAYS) return []
  if (plantedOutOn !== null && plantedOutOn <= today) return []
  if (entriesOf(view, 'sown').length > 0) return []
  // whatever else was done to it since shows that it was sown; a note may say why it was not
  const since = view.journal.filter((entry) => entry.planting === planting.id && entry.on >= sownOn)
  if (since.some(({ kind }) => kind !== 'note')) return []
  const isInPlace = plantedOutOn === null
  const soil = isInPlace ? soilWords(view) : null
  const isSoonFit = soil?.verdict === 'fit' && daysBetween(today, sownOn) <= SOONER_DAYS
  const seeds = isInPlace
    ? `Sow about 1 cm deep, ${cm(planting.spacingM)} cm apart in the end; sow closer and thin. Keep the soil moist until seedlings are up.`
    : 'Sow under cover about 1 cm deep, in trays or modules, at 15 to 20 °C, and give full light as soon as seedlings show (common practice, no source).'
  return [
    plantingTask(view, 'sow', 1, {
      what: `Sow the ${name}`,
      why: `You planned it for ${sownOn}.${soil === null ? coverWords(plantedOutOn) : ` ${soil.words}`}`,
      how: `${seeds}${crop.forms === 'pods' ? ' Peas go 3 to 5 cm deep.' : ''}`,
      from: isSoonFit ? daysAfter(sownOn, -SOONER_DAYS) : sownOn,
      to: daysAfter(sownOn, WINDOW_DAYS),
      journal: 'sown',
      asks: 'day',
    }),
  ]
}

const cm = (metres: number): number => Math.round(metres * 100)

const coverWords = (plantedOutOn: string | null): string =>
  plantedOutOn === null ? '' : ` It is to be raised under cover and planted out about ${plantedOutOn}.`

/** What the soil of the last days says of sowing into it; null: not measured. */
function soilWords({
  crop,
  soilMeanC,
}: PlantingView): { verdict: ReturnType<typeof soilForSowing>; words: string } | null {
  if (soilMeanC === null) return null
  const verdict = soilForSowing(crop, soilMeanC)
  const { days } = daysToEmergence(crop, soilMeanC)
  const now = `The soil has had ${celsius(soilMeanC)} these last days`
  const up = days === null ? '' : `, seedlings up in about ${Math.ceil(days)} days`
  const words = {
    fit: `${now}: fit to sow into${up} (${crop.germination.note}).`,
    slow: `${now}: slow going${up}; seed that lies long may rot. It pays to wait for warmer soil, or to cover it.`,
    'too cold': `${now}: too cold, nothing would come up below ${celsius(crop.germination.minSoilC.value)}. Wait.`,
    'too hot': `${now}: too hot, above ${celsius(crop.germination.maxSoilC.value)} hardly a seed comes up. Wait, or shade and water the soil, and sow in the evening.`,
  }
  return { verdict, words: words[verdict] }
}
