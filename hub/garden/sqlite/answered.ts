/** How the tables' methods look inside the worker, and the checks that several of them share. */
import type Database from 'better-sqlite3'
import { GardenError, type GardenRepository } from '../port.js'

/** The port's methods named K as they are beside the database: answered at once, without promises. */
export type Answered<K extends keyof GardenRepository> = {
  [M in K]: GardenRepository[M] extends (...args: infer A) => Promise<infer R> ? (...args: A) => R : never
}

/** @throws GardenError  UNKNOWN_GARDEN */
export function requireGarden(db: Database.Database, garden: string): { timeZone: string } {
  const row = db.prepare<[string], { timeZone: string }>(
    'SELECT time_zone AS timeZone FROM gardens WHERE id = ?',
  )
  const found = row.get(garden)
  if (!found) throw new GardenError('UNKNOWN_GARDEN', `There is no garden "${garden}".`)
  return found
}

/** @throws GardenError  UNKNOWN_BED, on the field `bed` */
export function requireBed(db: Database.Database, garden: string, bed: string): void {
  if (!db.prepare('SELECT 1 FROM beds WHERE garden = ? AND id = ?').get(garden, bed)) {
    throw new GardenError('UNKNOWN_BED', `There is no bed "${bed}": make it first.`, 'bed')
  }
}

/** @throws GardenError  UNKNOWN_NODE, on the field `node` */
export function requireNode(db: Database.Database, garden: string, node: string): void {
  if (!db.prepare('SELECT 1 FROM nodes WHERE garden = ? AND id = ?').get(garden, node)) {
    throw new GardenError('UNKNOWN_NODE', `There is no node "${node}" yet: give it a name first.`, 'node')
  }
}
