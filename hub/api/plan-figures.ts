/** A crop's year as the API tells it. */
import type { Plan, PlanBasis } from '../../shared/api/plan.js'
import type { Crop } from '../core/crops/crop.js'
import { familyOf } from '../core/plan/plant-family.js'
import { daysUnderCover } from '../core/plan/under-cover.js'
import type { PlanFigures } from '../garden/season-plan-port.js'

const NOTHING_KNOWN =
  'Nothing is known of the weather here yet. Type in your region’s monthly means under Garden, give a year’s file ' +
  'below, or let a node measure: after a year the garden’s own record is enough.'

/** @param asked  the basis that was asked for; null: whatever there is */
export function planOnWire(crop: Crop, figures: PlanFigures, asked: PlanBasis | null): Plan {
  const { basis, bases, from, year, usualMeanC, soil } = figures
  const cover = daysUnderCover(crop)
  const family = familyOf(crop)
  return {
    crop: crop.id,
    cropName: crop.name,
    forms: crop.forms,
    usualStart: crop.usualStart,
    family: family && { botanical: family.botanical, name: family.name },
    basis: basis?.basis ?? null,
    words: basis?.words ?? whyNone(bases, asked),
    bases: bases.map(({ basis: id, climate, words }) => ({ basis: id, isThere: climate !== null, words })),
    years: year?.years ?? 0,
    from,
    bestMeanFromC: crop.bestMeanC.from.value,
    bestMeanToC: crop.bestMeanC.to.value,
    usualMeanC: [...usualMeanC],
    coverDays: cover.value,
    coverNote: cover.note,
    weeks: [...(year?.weeks ?? [])],
    windows: [...(year?.windows ?? [])],
    soil: soil && {
      basis: soil.basis,
      weeks: [...soil.weeks],
      fit: [...soil.fit],
    },
  }
}

/** Of a basis that was asked for it is said why it is not there; else what to do. */
function whyNone(bases: PlanFigures['bases'], asked: PlanBasis | null): string {
  const meant = bases.find(({ basis }) => basis === asked)
  return meant && bases.some(({ climate }) => climate !== null) ? meant.words : NOTHING_KNOWN
}
