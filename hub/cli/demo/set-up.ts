/**
 * Enters the demo's garden through the hub's API, as a grower would: garden, beds, nodes, placements, plantings, and the
 * journal of these.
 */
import { z } from 'zod'
import { Placement, Planting } from '../../../shared/api/garden.js'
import { NodeStatus } from '../../../shared/api/measurements.js'
import { isoWithOffset, localDate } from '../../../shared/local-time.js'
import type { HubApi } from './hub-api.js'
import { type DemoPlanting, demoJournal } from './journal.js'
import type { Scenario } from './scenario.js'

/** Doing it again changes nothing: what is there already is left or put the same. */
export async function setUpGarden(
  api: HubApi,
  scenario: Scenario,
  plantings: readonly DemoPlanting[],
): Promise<void> {
  await api.send('PUT', '', scenario.garden)
  await api.send('PUT', '/normals', scenario.normals)
  const placed = new Set((await api.get('/placements', z.array(Placement))).map(({ node }) => node))
  for (const { id, bed, node } of scenario.beds) {
    await api.send('PUT', `/beds/${id}`, bed)
    await api.send('PUT', `/nodes/${node.id}`, { name: node.name })
    if (placed.has(node.id)) continue
    const from = isoWithOffset(scenario.historyFromMs, scenario.garden.timeZone)
    await api.send('POST', '/placements', { node: node.id, bed: id, from, to: null })
  }
  const known = await api.get('/plantings', z.array(Planting))
  for (const { headingOn, cuts, ...planting } of plantings) {
    const isKnown = known.some(({ bed, crop }) => bed === planting.bed && crop === planting.crop)
    if (!isKnown) await api.send('POST', '/plantings', planting)
  }
  await writeJournal(api, scenario, plantings)
}

async function writeJournal(
  api: HubApi,
  { startedAtMs, garden }: Scenario,
  plantings: readonly DemoPlanting[],
): Promise<void> {
  const today = localDate(startedAtMs, garden.timeZone)
  const known = await api.get('/plantings', z.array(Planting))
  for (const planting of plantings) {
    const { id } = known.find(({ bed, crop }) => bed === planting.bed && crop === planting.crop) ?? {}
    if (id === undefined) continue
    for (const entry of demoJournal(planting, id, today)) await api.send('POST', '/journal', entry)
  }
}

/** Per bed, the newest time of which its node's readings are stored, UTC ms. */
export async function newestReadings(api: HubApi, scenario: Scenario): Promise<Map<string, number>> {
  const newest = new Map<string, number>()
  const nodes = await api.get('/nodes', z.array(NodeStatus))
  for (const { id, node } of scenario.beds) {
    const status = nodes.find((known) => known.id === node.id)
    const times = status?.latest.map(({ time }) => Date.parse(time)) ?? []
    if (times.length > 0) newest.set(id, Math.max(...times))
  }
  return newest
}
