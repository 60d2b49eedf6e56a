/** A crop of the library as the API tells it: one list of figures, each with its source. */
import type { CropFigure, Crop as CropOnWire } from '../../shared/api/crops.js'
import type { Crop, Sourced } from '../core/crops/crop.js'

const figure = (name: string, unit: string, { value, source, note }: Sourced): CropFigure => ({
  name,
  value,
  unit,
  source,
  note,
})

export function cropOnWire(crop: Crop): CropOnWire {
  return {
    id: crop.id,
    name: crop.name,
    botanical: crop.botanical,
    forms: crop.forms,
    usualStart: crop.usualStart,
    spacingM: crop.spacing.betweenPlantsM.value,
    containerLitres: crop.spacing.containerLitres.value,
    feeding: crop.feeding.value,
    readiness: crop.readiness.value,
    heatHarm: crop.heat?.harm ?? null,
    figures: [
      ...growth(crop),
      ...heat(crop),
      ...coldBolting(crop),
      ...heatBolting(crop),
      ...frost(crop),
      ...room(crop),
    ],
    germination: crop.germination.points.map((point) => ({ ...point })),
  }
}

function growth({ degreeDays, ...crop }: Crop): CropFigure[] {
  const from = crop.usualStart === 'sown' ? 'sowing' : 'planting out'
  return [
    figure('base temperature of degree days', '°C', crop.baseC),
    figure('upper temperature of degree days', '°C', crop.upperC),
    figure('coolest mean for growth', '°C', crop.minMeanC),
    figure('best mean, from', '°C', crop.bestMeanC.from),
    figure('best mean, to', '°C', crop.bestMeanC.to),
    figure('warmest mean for growth', '°C', crop.maxMeanC),
    figure(`days from ${from} to ready, in cool weather`, 'd', crop.packetDays),
    figure('sowing to emergence', '°C·d', degreeDays.toEmerged),
    figure('sowing to planting out', '°C·d', degreeDays.toPlantingOut),
    ...(degreeDays.toHeading
      ? [figure(`${from} until ${formed(crop.forms)}`, '°C·d', degreeDays.toHeading)]
      : []),
    figure(`${from} to ready`, '°C·d', degreeDays.toReady),
    figure(`${from} to past its best`, '°C·d', degreeDays.toFinished),
    figure('coldest soil to sow into', '°C', crop.germination.minSoilC),
    figure('hottest soil to sow into', '°C', crop.germination.maxSoilC),
  ]
}

const formed = (forms: Crop['forms']): string =>
  forms === 'leaves' ? 'leaves fill out' : `the ${forms} ${/[^s]$/.test(forms) ? 'forms' : 'form'}`

function heat({ heat: limit }: Crop): CropFigure[] {
  if (!limit) return []
  return [
    figure('heat hours count above', '°C', limit.aboveC),
    figure('heat hours worth a look', 'h', limit.watchHours),
    figure('heat hours that likely harm', 'h', limit.likelyHours),
    ...(limit.nightAboveC ? [figure('nights make it worse above', '°C', limit.nightAboveC)] : []),
  ]
}

function coldBolting({ coldBolting: cold }: Crop): CropFigure[] {
  if (!cold) return []
  return [
    ...(cold.juvenileLeaves ? [figure('feels cold from', 'true leaves', cold.juvenileLeaves)] : []),
    figure('no chill below a daily mean of', '°C', cold.noneBelowC),
    figure('full chill from a daily mean of', '°C', cold.fullFromC),
    figure('full chill to a daily mean of', '°C', cold.fullToC),
    figure('no chill above a daily mean of', '°C', cold.noneAboveC),
    ...(cold.undoneAboveC ? [figure('fresh chill is undone by days above', '°C', cold.undoneAboveC)] : []),
    figure('days of chill worth a look', 'd', cold.watchDays),
    figure('days of chill that likely bring flowering', 'd', cold.likelyDays),
  ]
}

function heatBolting({ heatBolting: hot }: Crop): CropFigure[] {
  if (!hot) return []
  return [
    figure('warm days count above a maximum of', '°C', hot.maxAboveC),
    ...(hot.dayLongerThanHours
      ? [figure('warm days count when longer than', 'h', hot.dayLongerThanHours)]
      : []),
    figure('warm days worth a look', 'd', hot.watchDays),
    figure('warm days that likely bring flowering', 'd', hot.likelyDays),
  ]
}

const frost = ({ frost: limits }: Crop): CropFigure[] => [
  figure('frost marks leaves below', '°C', limits.damageC),
  figure('frost kills young plants below', '°C', limits.youngC),
  figure('frost kills hardened plants below', '°C', limits.killC),
]

const room = ({ spacing }: Crop): CropFigure[] => [
  figure('between plants every way', 'm', spacing.betweenPlantsM),
  figure('soil for one plant in a container', 'L', spacing.containerLitres),
]
