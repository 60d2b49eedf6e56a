/** What the page of a bed's sun through the year fetches: carpet, skyline, outlook, the sun's path of a date. */
import type {
  BedSkyline,
  SunCarpet,
  SunComparison,
  SunOutlook,
  SunPath,
  TemperatureCarpet,
} from '../../../shared/api/sun.js'
import { addDays } from '../../../shared/local-time.js'
import { get } from '../api/client.js'
import { inGarden } from '../state/garden.js'
import { type Resource, resource } from '../state/resource.js'

/** Days of the carpet: about a growing season. */
export const CARPET_DAYS = 180

export const skylinePath = (bed: string): string => inGarden(`/beds/${encodeURIComponent(bed)}/skyline`)

export interface BedSunYear {
  readonly carpet: Resource<SunCarpet>
  /** of the air, over the same days */
  readonly warmth: Resource<TemperatureCarpet>
  readonly skyline: Resource<BedSkyline>
  readonly outlook: Resource<SunOutlook>
  /** the sun's path on the date chosen */
  path(date: string): Resource<SunPath>
}

/** @param today local date; the carpet ends with it, the outlook is of its calendar year */
export function bedSunYear(bed: string, today: string): BedSunYear {
  const of = (rest: string): string => inGarden(`/beds/${encodeURIComponent(bed)}${rest}`)
  const year = today.slice(0, 4)
  return {
    carpet: resource((signal) =>
      get(of(`/sun-carpet?from=${addDays(today, 1 - CARPET_DAYS)}&to=${today}`), signal),
    ),
    warmth: resource((signal) =>
      get(of(`/temperature-carpet?from=${addDays(today, 1 - CARPET_DAYS)}&to=${today}`), signal),
    ),
    skyline: resource((signal) => get(of('/skyline'), signal)),
    outlook: resource((signal) => get(of(`/sun-outlook?from=${year}-01-01&to=${year}-12-31`), signal)),
    path: (date) => resource((signal) => get(of(`/sun-path?date=${date}`), signal)),
  }
}

/** Two beds and more over the carpet's days. */
export const sunComparison = (today: string): Resource<SunComparison> =>
  resource((signal) =>
    get(inGarden(`/sun-comparison?from=${addDays(today, 1 - CARPET_DAYS)}&to=${today}`), signal),
  )
