/**
 * Trade words for the sun of a bed. Publishers differ; these limits follow the usual ones of university extension
 * services (full sun 6 h and more, part sun 4 to 6 h, part shade 2 to 4 h, shade below 2 h: Penn State Extension;
 * leaf crops still do with 4 h: LSU AgCenter), and can be given.
 */
import type { OutlookDay } from './sun-outlook.js'

export type SunLabel = 'full sun' | 'part sun' | 'part shade' | 'full shade'

export interface LabelLimits {
  readonly fullSunHours: number
  readonly partSunHours: number
  readonly partShadeHours: number
}

export const LABEL_LIMITS: LabelLimits = { fullSunHours: 6, partSunHours: 4, partShadeHours: 2 }
export const LABEL_SOURCE =
  'limits of Penn State Extension, at second hand; publishers differ, and leaf crops make do with 4: LSU AgCenter'

/** Label for hours of direct sun a day. The best days of a season count, not a dull week: give possible sun hours. */
export function sunLabel(hours: number, limits: LabelLimits = LABEL_LIMITS): SunLabel {
  if (hours >= limits.fullSunHours) return 'full sun'
  if (hours >= limits.partSunHours) return 'part sun'
  if (hours >= limits.partShadeHours) return 'part shade'
  return 'full shade'
}

export type Season = 'spring' | 'summer' | 'autumn' | 'winter'

export interface SeasonLabel {
  readonly season: Season
  readonly label: SunLabel
  /** mean possible sun hours of the season's days in the outlook */
  readonly possibleSunHours: number
  /** the label if the skyline stood at its highest or lowest: where they differ, the label is not certain */
  readonly atWorst: SunLabel
  readonly atBest: SunLabel
}

const SEASONS: readonly Season[] = ['winter', 'spring', 'summer', 'autumn']

/** Meteorological season of a date, by hemisphere. */
export function seasonOf(date: string, latitudeDeg: number): Season {
  const quarter = Math.floor((Number(date.slice(5, 7)) % 12) / 3)
  return SEASONS[(quarter + (latitudeDeg < 0 ? 2 : 0)) % 4]!
}

/** A bed's labels by season; seasons without a day in the outlook are left out. */
export function seasonLabels(
  outlook: readonly OutlookDay[],
  latitudeDeg: number,
  limits: LabelLimits = LABEL_LIMITS,
): SeasonLabel[] {
  return (['spring', 'summer', 'autumn', 'winter'] as const).flatMap((season) => {
    const days = outlook.filter((day) => seasonOf(day.date, latitudeDeg) === season)
    if (days.length === 0) return []
    const mean = (of: (day: OutlookDay) => number): number =>
      days.reduce((sum, day) => sum + of(day), 0) / days.length
    const possibleSunHours = mean((day) => day.possibleSunHours)
    return [
      {
        season,
        label: sunLabel(possibleSunHours, limits),
        possibleSunHours,
        atWorst: sunLabel(
          mean((day) => day.possibleLow),
          limits,
        ),
        atBest: sunLabel(
          mean((day) => day.possibleHigh),
          limits,
        ),
      },
    ]
  })
}
