/** The examples of firmware-notes/wire-format.md are what the hub understands. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { DEFAULT_MAX_PACKET_BYTES } from '../../hub/ingest/embedded-broker.js'
import { type DecodedPack, decodePack, PACK_LIMITS, type PackReading } from '../../hub/ingest/pack.js'
import { acceptedUnits } from '../../hub/ingest/senml-units.js'
import { QUANTITIES } from '../../shared/quantities.js'

const page = readFileSync(join(import.meta.dirname, '../../firmware-notes/wire-format.md'), 'utf8')
const NOW_MS = Date.UTC(2026, 10, 1)
const blocks = [...page.matchAll(/```(json)?\n([\s\S]*?)```/g)].map((m) => ({
  isJson: m[1] === 'json',
  text: m[2]!,
}))
const readings = (pack: DecodedPack): readonly PackReading[] => {
  if (!pack.ok) throw new Error(pack.message)
  return pack.readings
}
const packs = blocks.filter((b) => b.isJson).map((b) => readings(decodePack(Buffer.from(b.text), NOW_MS)))

describe('the page on the wire format', () => {
  it('shows packs that the hub takes', () => {
    expect(packs).toHaveLength(4)
    expect(packs[0]).toEqual([
      { quantity: 'air-temp', timeMs: 1790000000_000, value: 17.4 },
      { quantity: 'soil-temp', timeMs: 1790000000_000, value: 14.9 },
      { quantity: 'light', timeMs: 1790000000_000, value: 38100 },
    ])
    expect(packs[2]?.map((r) => [r.quantity, (r.timeMs - NOW_MS) / 1000, r.value])).toEqual([
      ['air-temp', -120, 17.1],
      ['air-temp', -60, 17.3],
      ['air-temp', 0, 17.4],
    ])
    expect(packs[3]?.map((r) => r.timeMs / 1000 - 1790000000)).toEqual([0, 60, 120, 180])
  })

  it('shows the same pack in CBOR, of the length it says', () => {
    const dump = blocks.find((b) => !b.isJson)!.text
    const bytes = Buffer.from(dump.replace(/#.*$/gm, '').replace(/\s/g, ''), 'hex')
    expect(readings(decodePack(bytes, NOW_MS))).toEqual(packs[0])
    const [cborLength, jsonLength] = page
      .match(/(\d+) bytes instead of (\d+)/)!
      .slice(1)
      .map(Number)
    expect(bytes).toHaveLength(cborLength!)
    expect(JSON.stringify(JSON.parse(blocks.find((b) => b.isJson)!.text))).toHaveLength(jsonLength!)
  })

  it('lists the units that are taken, quantity by quantity', () => {
    for (const line of page.matchAll(/^\| (`[a-z-]+`(?:, `[a-z-]+`)*) \| `([^`]+)` \|(.*)\|$/gm)) {
      const also = [...line[3]!.matchAll(/`([^`]+)`/g)].map((m) => m[1])
      for (const [, quantity] of line[1]!.matchAll(/`([^`]+)`/g)) {
        expect(QUANTITIES.has(quantity!)).toBe(true)
        expect(acceptedUnits(quantity!)).toEqual([line[2], ...also])
      }
    }
    for (const quantity of QUANTITIES.keys()) expect(page).toContain(`\`${quantity}\``)
  })

  it('states the limits that hold', () => {
    expect(page).toContain(
      `${DEFAULT_MAX_PACKET_BYTES / 1024} KiB and ${PACK_LIMITS.maxRecords.toLocaleString('en')} records`,
    )
  })
})
