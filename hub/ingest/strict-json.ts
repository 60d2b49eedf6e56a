/**
 * JSON as a wire format needs it: UTF-8 only, no member twice, no deep nesting. JSON.parse accepts a repeated
 * member silently and keeps the last, so that two readers may understand two different things (RFC 8259 §4).
 */
import { PackError } from './pack-error.js'

/** A pack is an array of flat records; extension fields may nest a little (RFC 8428 §4.4). */
export const MOST_NESTING = 8

const utf8 = new TextDecoder('utf-8', { fatal: true })

const QUOTE = 0x22
const COLON = 0x3a
const BACKSLASH = 0x5c

/**
 * @throws PackError  'not-json': not UTF-8, not JSON, a member twice, nested deeper than MOST_NESTING
 */
export function parseStrictJson(bytes: Uint8Array): unknown {
  let text: string
  try {
    // RFC 8259 §8.1: UTF-8; a byte order mark may be ignored
    text = utf8.decode(bytes)
  } catch {
    throw new PackError('not-json', 'not UTF-8 text')
  }
  const members = countMembers(text)
  let value: unknown
  try {
    value = JSON.parse(text)
  } catch (error) {
    throw new PackError('not-json', `not JSON: ${error instanceof Error ? error.message : error}`)
  }
  // every member costs one colon outside strings; one that JSON.parse dropped is a colon too many
  if (keptMembers(value) !== members) throw new PackError('not-json', 'a member occurs twice in one record')
  return value
}

/** Colons outside strings, while watching the depth; says nothing of whether the text is JSON. */
function countMembers(text: string): number {
  let members = 0
  let depth = 0
  let inString = false
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i)
    if (inString) {
      if (code === BACKSLASH) i++
      else if (code === QUOTE) inString = false
      continue
    }
    if (code === QUOTE) inString = true
    else if (code === COLON) members++
    else if (code === 0x5b || code === 0x7b) {
      if (++depth > MOST_NESTING)
        throw new PackError('not-json', `nested more than ${MOST_NESTING} levels deep`)
    } else if (code === 0x5d || code === 0x7d) depth--
  }
  return members
}

function keptMembers(value: unknown): number {
  if (typeof value !== 'object' || value === null) return 0
  let members = 0
  if (Array.isArray(value)) {
    for (const item of value) members += keptMembers(item)
    return members
  }
  for (const item of Object.values(value)) {
    members++
    if (typeof item === 'object') members += keptMembers(item)
  }
  return members
}
