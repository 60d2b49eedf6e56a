/** Who spoke of the weather to come and what it rests on, in one plain sentence. */
import type { BedForecast } from '../core/forecast/bed-outlook.js'

const counted = (n: number, thing: string): string => `${n} ${thing}${n === 1 ? '' : 's'}`

/** "40 minutes", "6 hours", "3 days" */
export function ageInWords(ms: number): string {
  const minutes = Math.max(1, Math.round(ms / 60_000))
  if (minutes < 100) return counted(minutes, 'minute')
  const hours = Math.round(minutes / 60)
  return hours < 48 ? counted(hours, 'hour') : counted(Math.round(hours / 24), 'day')
}

export interface Spoken {
  readonly forecast: BedForecast
  readonly nowMs: number
  readonly publicSource: string | null
  /** since the newest measured day, 0 yesterday; null: nothing was ever measured */
  readonly missedDays: number | null
}

export function spokenWords({ forecast, nowMs, publicSource, missedDays }: Spoken): string {
  if (forecast.source === 'public') {
    const age = ageInWords(nowMs - forecast.issuedAtMs)
    const learned =
      forecast.restsOn === 0
        ? 'not yet corrected to this bed: no day has shown yet how the bed differs from it'
        : `corrected to this bed from ${counted(forecast.restsOn, 'day')} on which both could be compared`
    return `From the public forecast of ${publicSource ?? 'an unnamed source'}, issued ${age} ago, ${learned}.`
  }
  const days = counted(forecast.restsOn, 'measured day')
  if (missedDays === null || missedDays === 0) return `From this bed’s own readings over ${days}.`
  const silent = `no day has been measured whole for ${counted(missedDays, 'day')}`
  return missedDays > 3
    ? `What is usual for the time of year, as ${silent}: not fit to warn by.`
    : `From this bed’s own readings over ${days}; ${silent}, so it is less sure.`
}

export const NOTHING_MEASURED =
  'No day has been measured whole in this bed yet, and there is no fresh public forecast: there is nothing to go by.'

/** A public forecast that has gone stale is told as such, never passed off as fresh. */
export const staleWords = (source: string, issuedAtMs: number, nowMs: number): string =>
  ` The public forecast of ${source} is ${ageInWords(nowMs - issuedAtMs)} old: after a day it is no longer listened to.`
