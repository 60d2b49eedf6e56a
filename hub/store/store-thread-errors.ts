/** Errors that crossed from a store's thread, in their own classes again. */
import type { SerialisedError } from '../worker/remote.js'
import { StoreError } from './port.js'

const STORE_CODES: readonly string[] = [
  'STORE_UNAVAILABLE',
  'STORE_FULL',
  'STORE_CORRUPT',
  'STORE_CLOSED',
] satisfies StoreError['code'][]

const isStoreCode = (code: string | null): code is StoreError['code'] =>
  code !== null && STORE_CODES.includes(code)

export function reviveStoreError(error: SerialisedError): Error {
  if (isStoreCode(error.code)) return new StoreError(error.code, error.message, error.retryable)
  const made = error.name === 'RangeError' ? new RangeError(error.message) : new Error(error.message)
  if (error.name !== 'RangeError') made.name = error.name
  return Object.assign(made, { code: error.code })
}
