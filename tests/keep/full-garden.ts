/** A garden with something in every table, odd characters, odd numbers, photos, and readings around a change of clocks. */
import { randomBytes } from 'node:crypto'
import type { OwnParts } from '../../hub/cli/own-parts.js'
import type { Reading } from '../../hub/store/port.js'
import { FLAG } from '../../shared/quality-flags.js'

/** two days after the clocks of Copenhagen went forward */
export const NOW_MS = Date.parse('2027-03-30T12:00:00Z')
const MINUTE_MS = 60_000
const ODD = 'Bed "A", under\nthe quince; =SUM(1) \u{1F96C} \u00e9\u2028 \\'

export const PHOTO = Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), randomBytes(300_000)])

/** some months of nothing, then six days of half hours over the change of clocks, and oddities */
export function oddReadings(): Reading[] {
  const readings: Reading[] = []
  const base = { garden: 'home', node: 'n1', flags: 0 }
  for (let timeMs = NOW_MS - 6 * 24 * 60 * MINUTE_MS; timeMs < NOW_MS; timeMs += 10 * MINUTE_MS) {
    const hour = (timeMs / 3_600_000) % 24
    const air = 8 + 6 * Math.sin(((hour - 9) / 24) * 2 * Math.PI)
    readings.push({ ...base, quantity: 'air-temp', timeMs, value: air })
    readings.push({ ...base, quantity: 'soil-temp', timeMs: timeMs + 7, value: air / 3 })
    const light = Math.max(0, Math.sin(((hour - 6) / 12) * Math.PI)) * 50_000
    readings.push({ ...base, quantity: 'light', timeMs, value: light })
  }
  const odd = [0, -0, 5e-324, Number.MIN_VALUE * 3, 1e300, -1e-7, 0.1 + 0.2, 123456789.123, Math.PI]
  odd.forEach((value, i) => {
    readings.push({ ...base, node: 'n2', quantity: 'co2', timeMs: NOW_MS - 90_000_000 + i, value })
  })
  readings.push({ ...base, quantity: 'air-temp', timeMs: 5, value: 21, flags: FLAG.clock })
  readings.push({
    ...base,
    quantity: 'air-temp',
    timeMs: NOW_MS - 1,
    value: 85,
    flags: FLAG.sentinel | FLAG.range,
  })
  return readings
}

export async function fillGarden({ garden, store }: OwnParts): Promise<void> {
  await garden.putGarden('home', {
    name: ODD,
    latitudeDeg: 55.700000000000003,
    longitudeDeg: -0.000012,
    elevationM: 0,
    timeZone: 'Europe/Copenhagen',
  })
  const bed = { kind: 'raised', lengthM: 2.4, widthM: 1.2, depthM: 0.1 + 0.2 } as const
  await garden.putBed('home', 'a', { ...bed, name: ODD })
  await garden.putBed('home', 'b', { ...bed, name: 'Box', kind: 'container', depthM: null })
  await garden.putNode('home', 'n1', { name: 'by the “wall”' })
  await garden.putNode('home', 'n2', { name: '-1' })
  const fromMs = NOW_MS - 30 * 86_400_000
  await garden.addPlacement('home', { node: 'n1', bed: 'a', fromMs, toMs: NOW_MS - 3 * 86_400_000 })
  await garden.addPlacement('home', { node: 'n1', bed: 'b', fromMs: NOW_MS - 3 * 86_400_000, toMs: null })
  await garden.addPlacement('home', { node: 'n2', bed: 'a', fromMs, toMs: null })
  const planting = await garden.addPlanting('home', {
    bed: 'a',
    crop: 'my-cabbage',
    variety: ODD.replaceAll('\n', ' '),
    sownOn: '2027-02-01',
    plantedOutOn: null,
    plants: 9,
    spacingM: 0.4,
    finishedOn: null,
  })
  await garden.putCrop('home', {
    id: 'my-cabbage',
    basedOn: 'cabbage-early',
    name: 'Old "Round"',
    adjustments: { heatAboveC: 26.5, baseC: 4.1 },
  })
  await garden.putTemperatureNormals('home', {
    minC: [-2, -2, 0, 3, 7, 11, 13, 13, 10, 6, 2, -1],
    maxC: [2, 2, 5, 10.5, 16, 19, 22, 21, 17, 12, 7, 4],
    source: ODD,
  })
  await garden.putClearNormals('home', {
    fraction: [0.2, 0.25, null, 0.4, 0.5, 0.5, 0.5, 0.45, 0.4, 0.3, 0.2, 0.15],
    source: null,
  })
  await garden.putPlanWeather('home', {
    name: 'a "year".csv',
    days: [{ date: '2026-03-28', minC: -0.1, maxC: 7, meanC: null, soilMeanC: 1 / 3 }],
  })
  await garden.putDrawnSkyline('home', 'a', {
    points: [{ azimuthDeg: 90, elevationDeg: 12.5 }],
    fences: [{ heightM: 1.8, distanceM: 3, directionDeg: 180, leftEndDeg: null, rightEndDeg: 200 }],
  })
  await garden.putMutes('home', planting.id, ['frost', 'short-sun'])
  await garden.putTaskAnswer('home', { task: `feed:${planting.id}`, untilOn: null, answeredAtMs: NOW_MS - 5 })
  await garden.putTaskAnswer('home', { task: 'net:b', untilOn: '2027-04-01', answeredAtMs: NOW_MS - 4 })
  const nothing = {
    planting: null,
    bed: null,
    plants: null,
    firmness: null,
    stemMm: null,
    weightKg: null,
    diameterMm: null,
    what: null,
    note: null,
  }
  const cut = {
    ...nothing,
    kind: 'cut',
    on: '2027-03-29',
    planting: planting.id,
    weightKg: 0.1 + 0.7,
  } as const
  await garden.writeJournal(
    'home',
    'entry-cut-1',
    { ...cut, note: ODD, plants: 2, diameterMm: 140 },
    NOW_MS - 3,
  )
  await garden.writeJournal(
    'home',
    'entry-note-2',
    { ...nothing, kind: 'note', on: '2027-03-28', bed: 'b' },
    NOW_MS,
  )
  await garden.writeJournal(
    'home',
    'entry-gone-3',
    { ...nothing, kind: 'weeded', on: '2027-03-28', bed: 'b' },
    NOW_MS,
  )
  await garden.removeJournal('home', 'entry-gone-3', NOW_MS + 1)
  for (const id of ['photo-zz-1', 'photo-aa-2']) {
    const image = Buffer.concat([PHOTO, Buffer.from(id)])
    await garden.putJournalPhoto('home', 'entry-cut-1', { id, mediaType: 'image/jpeg', image })
  }
  await garden.saveWarning('home', {
    id: 'warning-1',
    kind: 'frost',
    cause: 'frost a',
    bed: 'a',
    node: null,
    planting: planting.id,
    severity: 'Severe',
    urgency: 'Expected',
    certainty: 'Likely',
    headline: ODD,
    why: 'because 1 < 2',
    advice: 'cover',
    raisedAtMs: NOW_MS - 100,
    updatedAtMs: NOW_MS - 50,
    clearedAtMs: NOW_MS - 10,
    seenAtMs: null,
    onsetMs: NOW_MS,
    expiresMs: null,
    chance: 1 / 3,
  })
  await garden.gardenUuid('home')
  await garden.putDeliverySettings('home', {
    mailTo: ['grower@example.org'],
    digestAtHour: 7,
    quietHours: { from: '22:00', to: '06:30' },
    immediateKinds: ['frost'],
    mutedKinds: [],
    webhookUrl: 'https://example.org/hook/key-that-nobody-should-see',
    webhookSecret: 'secret-that-nobody-should-see',
  })
  await store.append(oddReadings(), NOW_MS)
}
