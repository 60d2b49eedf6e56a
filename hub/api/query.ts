/** Query parameters: text in, checked values out. Numbers are digits only (Number('') is 0, which nobody meant). */
import { z } from 'zod'
import { CalendarDate, Instant } from '../../shared/api/garden.js'

const text = z.string({ error: 'give it once, as text' })

/** A whole number from min to max. */
export const wholeNumber = (min: number, max: number) =>
  text
    .transform((given, context) => {
      const value = /^\d{1,15}$/.test(given) ? Number(given) : Number.NaN
      if (value >= min && value <= max) return value
      context.addIssue({ code: 'custom', message: `use a whole number from ${min} to ${max}` })
      return z.NEVER
    })
    .meta({ type: 'integer', minimum: min, maximum: max })

/** A decimal number from min to max. */
export const decimal = (min: number, max: number) =>
  text
    .transform((given, context) => {
      const value = /^-?\d{1,9}(\.\d{1,9})?$/.test(given) ? Number(given) : Number.NaN
      if (value >= min && value <= max) return value
      context.addIssue({ code: 'custom', message: `use a number from ${min} to ${max}` })
      return z.NEVER
    })
    .meta({ type: 'number', minimum: min, maximum: max })

/** times that a garden can be about, UTC ms */
export const FIRST_MS = Date.UTC(1970, 0, 1)
export const LAST_MS = Date.UTC(2200, 0, 1)

/** An instant, ISO 8601 with offset, as UTC ms; between 1970 and 2200. */
export const instantMs = text
  .transform((given, context) => {
    // an unescaped + of an offset arrives as a blank
    const hint = /\d \d\d:?\d\d$/.test(given) ? ' (write + as %2B in an address)' : ''
    const parsed = Instant.safeParse(given)
    const timeMs = parsed.success ? Date.parse(parsed.data) : Number.NaN
    if (timeMs >= FIRST_MS && timeMs <= LAST_MS) return timeMs
    context.addIssue({
      code: 'custom',
      message: parsed.success
        ? 'use a time between 1970 and 2200'
        : `use ISO 8601 with an offset, e.g. 2027-05-06T14:10:00Z${hint}`,
    })
    return z.NEVER
  })
  .meta({ type: 'string', format: 'date-time' })

/** A local calendar date, between 1970 and 2199 (calendars of other centuries are not our trade). */
export const queryDate = text
  .refine(
    (given) => CalendarDate.safeParse(given).success && given >= '1970-01-01' && given <= '2199-12-31',
    'use a calendar date, YYYY-MM-DD, from 1970 to 2199',
  )
  .meta({ type: 'string', format: 'date' })
