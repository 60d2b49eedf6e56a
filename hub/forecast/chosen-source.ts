/** The public service that the settings name. */
import { metNorway, type ServiceOptions } from './met-norway.js'
import type { PublicSource } from './public-source.js'
import { usNws } from './us-nws.js'

export type SourceName = 'none' | 'met-norway' | 'us-nws'

const SOURCES: Readonly<Record<Exclude<SourceName, 'none'>, (options: ServiceOptions) => PublicSource>> = {
  'met-norway': metNorway,
  'us-nws': usNws,
}

/**
 * @param contact  how the hub's owner is reached: both services turn away those who do not say
 * @returns        null: none is switched on
 */
export const chosenSource = (
  name: SourceName,
  contact: string,
  options: Omit<ServiceOptions, 'userAgent'>,
): PublicSource | null =>
  name === 'none' ? null : SOURCES[name]({ ...options, userAgent: `hearting/0.1 (${contact})` })
