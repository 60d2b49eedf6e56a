/** Identifiers of gardens, beds and nodes: they appear in MQTT topics and URLs, so the alphabet is small. */
import { z } from 'zod'

export const ID_PATTERN = /^[a-z0-9][a-z0-9-]{0,62}$/

export const Id = z
  .string()
  .regex(ID_PATTERN, 'use 1 to 63 small letters, digits or hyphens, starting with a letter or digit')
export type Id = z.infer<typeof Id>

export const isId = (text: string): boolean => ID_PATTERN.test(text)
