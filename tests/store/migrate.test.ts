import Database from 'better-sqlite3'
import { describe, expect, it } from 'vitest'
import { type Migration, migrate } from '../../hub/sqlite/migrate.js'

const first: Migration = { version: 1, name: 'beds', sql: 'CREATE TABLE bed (id TEXT PRIMARY KEY)' }
const second: Migration = { version: 2, name: 'width', sql: 'ALTER TABLE bed ADD COLUMN width REAL' }

describe('migrations', () => {
  it('run in order, once', () => {
    const db = new Database(':memory:')
    expect(migrate(db, [first])).toEqual({ from: 0, to: 1 })
    db.exec("INSERT INTO bed VALUES ('north')")
    expect(migrate(db, [first, second])).toEqual({ from: 1, to: 2 })
    expect(migrate(db, [first, second])).toEqual({ from: 2, to: 2 })
    expect(db.prepare('SELECT * FROM bed').all()).toEqual([{ id: 'north', width: null }])
  })

  it('refuse a database newer than the code and leave it alone', () => {
    const db = new Database(':memory:')
    migrate(db, [first, second])
    expect(() => migrate(db, [first])).toThrow(/version 2.*only up to 1.*newer hearting/s)
    expect(db.pragma('user_version', { simple: true })).toBe(2)
  })

  it('roll a failing step back whole', () => {
    const db = new Database(':memory:')
    const broken: Migration = {
      version: 2,
      name: 'broken',
      sql: 'CREATE TABLE pot (id TEXT); SELECT nonsense',
    }
    expect(() => migrate(db, [first, broken])).toThrow(/migration 2 \(broken\) failed/)
    expect(db.pragma('user_version', { simple: true })).toBe(1)
    expect(() => db.prepare('SELECT * FROM pot')).toThrow(/no such table/)
  })

  it('refuse a list with a hole', () => {
    expect(() => migrate(new Database(':memory:'), [second])).toThrow(RangeError)
  })
})
