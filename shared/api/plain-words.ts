/**
 * What is wrong with a field, in words for the person who typed it. A schema's own message goes first; these are for where it
 * has none, instead of the validator's terms. One place: all fields speak alike, sent over HTTP or read from a file.
 */
import type { z } from 'zod'

type RawIssue = z.core.$ZodRawIssue

const TYPE_WORDS: Readonly<Record<string, string>> = {
  number: 'must be a number',
  int: 'must be a whole number',
  string: 'must be text',
  boolean: 'must be yes or no (true or false)',
  array: 'must be a list',
  object: 'must be a JSON object',
  record: 'must be a JSON object',
  null: 'must be null',
}
const FORMAT_WORDS: Readonly<Record<string, string>> = {
  email: 'must be a mail address, e.g. rowan@example.org',
  url: 'must be an address that begins with http:// or https://',
  date: 'use a calendar date, YYYY-MM-DD',
  datetime: 'use ISO 8601 with an offset, e.g. 2027-05-06T14:10:00+02:00',
  uuid: 'must be a UUID',
}

function sizeWords(limit: string, n: number | bigint, origin: string): string {
  const unit = origin === 'string' ? 'character' : 'entry'
  const many = origin === 'string' ? 'characters' : 'entries'
  return `${limit} ${n} ${Number(n) === 1 ? unit : many}`
}

const isCounted = (origin: string): boolean => ['string', 'array', 'set', 'map'].includes(origin)

/** To be given to a schema as its `error`. @returns undefined where the validator's own words must do */
export function plainWords(issue: RawIssue): string | undefined {
  switch (issue.code) {
    case 'invalid_type':
      if (issue.input === undefined) return 'is missing'
      return TYPE_WORDS[issue.expected] ?? 'is not of the kind that belongs here'
    case 'too_small': {
      const { minimum, origin, inclusive, exact } = issue
      if (!isCounted(origin)) return `must be ${inclusive === false ? 'more than' : 'at least'} ${minimum}`
      if (exact === true) return sizeWords('must have exactly', minimum, origin)
      return Number(minimum) === 1 ? 'must not be empty' : sizeWords('must have at least', minimum, origin)
    }
    case 'too_big': {
      const { maximum, origin, inclusive, exact } = issue
      if (!isCounted(origin)) return `must be ${inclusive === false ? 'less than' : 'at most'} ${maximum}`
      return sizeWords(exact === true ? 'must have exactly' : 'must have at most', maximum, origin)
    }
    case 'invalid_value': {
      const [only, ...others] = issue.values.map(String)
      return others.length === 0 ? `must be ${only}` : `use one of: ${[only, ...others].join(', ')}`
    }
    case 'invalid_format':
      return FORMAT_WORDS[issue.format] ?? 'is not written in the way that belongs here'
    case 'not_multiple_of':
      return `must be a multiple of ${issue.divisor}`
    case 'unrecognized_keys':
      return `nothing called ${issue.keys.join(', ')} is known here`
    case 'invalid_key':
    case 'invalid_element':
      return 'one of the entries cannot be used'
    case 'invalid_union':
      return 'is not of any kind that belongs here'
    default:
      return undefined
  }
}
