/** What a planting has taken of heat or cold, in words. Pure. */
import type { Dose, PlantingReport } from '../../../shared/api/progress.js'
import { shortDate } from '../format/local-clock.js'
import { figure, type TempUnit } from '../format/units.js'
import { limitWords, tempText } from './planting-words.js'

const LEVEL_WORDS = {
  none: 'no cause for worry',
  watch: 'worth a look',
  likely: 'harm likely',
} as const

/** Why a dose of heat differs from the hours measured. */
export const HEAT_COUNTED =
  'Of heat, what follows on a night too warm for the crop counts a quarter more, and what meets a crop that is ready counts half: so it can differ from the hours measured.'

export interface DoseOnPage {
  readonly key: string
  readonly name: string
  readonly dose: Dose
  /** what was counted, after the amount: 'above 27 °C while what is eaten forms' */
  readonly counted: string
  readonly harm: string
  readonly fill: string
}

export function dosesOf({ doses }: PlantingReport, unit: TempUnit): DoseOnPage[] {
  const { heat, chill, warmDays } = doses
  const shown: DoseOnPage[] = []
  if (heat !== null)
    shown.push({
      key: 'heat',
      name: 'Heat',
      dose: heat,
      counted: `above ${tempText(heat.aboveC, unit)} while what is eaten forms`,
      harm: heat.harm,
      fill: 'var(--line-soil)',
    })
  if (chill !== null) {
    const since =
      chill.feelsColdFrom === null
        ? 'of chill: the plants are too small to feel it yet'
        : `of chill since ${shortDate(chill.feelsColdFrom)}, when the plants were big enough to feel it`
    const undone =
      chill.undoneDays >= 0.05 ? `; warm days have undone ${figure(chill.undoneDays, 1)} more` : ''
    shown.push({
      key: 'chill',
      name: 'Chill',
      dose: chill,
      counted: since + undone,
      harm: 'flowering too soon',
      fill: 'var(--line-air)',
    })
  }
  if (warmDays !== null) {
    const { dayLongerThanHours: hours } = warmDays
    const long = hours === null ? '' : ` and longer than ${figure(hours, hours % 1 === 0 ? 0 : 1)}\u00a0h`
    shown.push({
      key: 'warm-days',
      name: 'Warm, long days',
      dose: warmDays,
      counted: `above ${tempText(warmDays.aboveC, unit)}${long}`,
      harm: 'flowering too soon',
      fill: 'var(--line-light)',
    })
  }
  return shown
}

export const amountText = (value: number, unit: Dose['unit']): string => {
  if (unit === 'h') return `${figure(value, value % 1 === 0 ? 0 : 1)}\u00a0h`
  const text = figure(value, value % 1 === 0 ? 0 : 1)
  return `${text} ${text === '1' ? 'day' : 'days'}`
}

/** 'above 27.0 °C while what is eaten forms: worth a look. Look closely from 15 h on; from 45 h on expect …' */
export function doseSentence({ dose, counted, harm }: DoseOnPage): string {
  const unknown =
    dose.unknownDays > 0
      ? ` ${dose.unknownDays} ${dose.unknownDays === 1 ? 'day is' : 'days are'} not known: it may be more.`
      : ''
  return `${counted}: ${LEVEL_WORDS[dose.level]}. Look closely from ${amountText(dose.watchAt, dose.unit)} on; from ${amountText(dose.likelyAt, dose.unit)} on expect ${harm} (${limitWords(dose.limitSource)}).${unknown}`
}
