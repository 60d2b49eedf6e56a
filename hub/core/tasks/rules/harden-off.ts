/** Harden plants off before they are planted out. */
import { fromMemory, type Sourced } from '../../crops/crop.js'
import { celsius } from '../../words.js'
import { daysAfter, entriesOf, plantingTask, type Rule, sourceWords } from '../task.js'

/** Days of cooler, drier life before planting out: from … to. */
const HARDENING_DAYS: Sourced<{ readonly least: number; readonly most: number }> = fromMemory(
  { least: 7, most: 10 },
  '7 to 10 days of cooler, drier conditions',
)

export const hardenOff: Rule = (view, today) => {
  const { planting, crop, name } = view
  const { sownOn, plantedOutOn } = planting
  if (sownOn === null || plantedOutOn === null || today >= plantedOutOn) return []
  if (entriesOf(view, 'hardened-off', 'planted-out').length > 0) return []
  const { least, most } = HARDENING_DAYS.value
  return [
    plantingTask(view, 'harden-off', 1, {
      what: `Begin to harden off the ${name}`,
      why: `It is to be planted out on ${plantedOutOn}, and wants ${least} to ${most} days of getting used to the open first (${sourceWords(HARDENING_DAYS)}). Unhardened plants are lost below ${celsius(crop.frost.youngC.value)}, hardened ones only below ${celsius(crop.frost.killC.value)}.`,
      how: 'Put the plants outside by day, in shade and out of the wind at first, a little longer each day; leave them out overnight at the end if no frost is to be expected. Water less, but do not let them wilt.',
      from: daysAfter(plantedOutOn, -most),
      to: daysAfter(plantedOutOn, -least),
      journal: 'hardened-off',
    }),
  ]
}
