/**
 * Which gardens readings are taken for. All that have been set up, and those that have not yet: a node that
 * publishes before the grower has filled in a form, or under a name the hub has not heard, loses nothing. Names
 * that anyone could make up are limited in number.
 */
import type { BaseLogger } from 'pino'
import type { GardenRepository } from './garden/port.js'

const MOST_GARDENS_NOT_SET_UP = 20

export interface GardenDoor {
  /** May readings for this garden be stored? Notes the first of each garden that is not set up. */
  accepts(garden: string): boolean
  /** A garden was set up or changed. */
  setUp(garden: string): void
}

export async function openGardenDoor(
  repository: Pick<GardenRepository, 'listGardens'>,
  log: Pick<BaseLogger, 'info'>,
): Promise<GardenDoor> {
  const known = new Set((await repository.listGardens()).map(({ id }) => id))
  const notSetUp = new Set<string>()
  return {
    accepts(garden) {
      if (known.has(garden) || notSetUp.has(garden)) return true
      if (notSetUp.size >= MOST_GARDENS_NOT_SET_UP) return false
      notSetUp.add(garden)
      log.info({ garden }, 'readings arrive for a garden that is not set up; they are kept until it is')
      return true
    },
    setUp(garden) {
      known.add(garden)
      notSetUp.delete(garden)
    },
  }
}
