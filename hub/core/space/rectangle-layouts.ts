/** Plants in a rectangle: rows with plants side by side (square), or each row shifted by half a step (offset). */
import type { Spot } from './ground.js'
import { stepsIn } from './ground.js'

/** The part of the ground on which stems may stand, and where it begins. */
export interface Standing {
  readonly lengthM: number
  readonly widthM: number
  readonly fromEdgeM: number
}

/** Rows and columns one spacing apart, in the middle of the ground. */
export function squareSpots({ lengthM, widthM, fromEdgeM }: Standing, spacingM: number): Spot[] {
  const alongSteps = stepsIn(lengthM, spacingM)
  const acrossSteps = stepsIn(widthM, spacingM)
  const x0 = fromEdgeM + (lengthM - alongSteps * spacingM) / 2
  const y0 = fromEdgeM + (widthM - acrossSteps * spacingM) / 2
  const spots: Spot[] = []
  for (let row = 0; row <= acrossSteps; row++) {
    for (let i = 0; i <= alongSteps && alongSteps >= 0; i++) {
      spots.push({ xM: x0 + i * spacingM, yM: y0 + row * spacingM })
    }
  }
  return spots
}

/**
 * Rows shifted by half a step, so that every plant is at least a spacing from each neighbour.
 *
 * With rows h apart, plants in a row must be d ≥ max(s, 2 √(s² − h²)) apart for the next row's to keep their distance s. At
 * h = s √3/2 that is the even triangle. Beds are seldom just so wide, so the rows are spread over the width and drawn
 * together along it: of all numbers of rows, and of rows along and across, the one with most plants is taken; of equals
 * the one with fewest rows.
 */
export function offsetSpots(standing: Standing, spacingM: number): Spot[] {
  const along = mostInRows(standing, spacingM)
  const turned = mostInRows(
    { ...standing, lengthM: standing.widthM, widthM: standing.lengthM },
    spacingM,
  ).map(({ xM, yM }): Spot => ({ xM: yM, yM: xM }))
  return turned.length > along.length ? turned : along
}

function mostInRows(standing: Standing, spacingM: number): Spot[] {
  // rows of the same phase (every second) must keep the spacing too
  const maxRows = stepsIn(standing.widthM, spacingM / 2) + 1
  let most = rowsOf(standing, spacingM, 1)
  // counted first, placed once: a field has many rows to try
  for (let rows = 2; rows <= maxRows; rows++) {
    const tried = rowsOf(standing, spacingM, rows)
    if (tried.plants > most.plants) most = tried
  }
  return placed(standing, most)
}

interface Rows {
  readonly rows: number
  readonly apartM: number
  readonly stepM: number
  /** steps between the plants of a row; -1: none fits */
  readonly fullSteps: number
  readonly shiftedSteps: number
  readonly plants: number
}

function rowsOf({ lengthM, widthM }: Standing, spacingM: number, rows: number): Rows {
  // rows no further apart than side by side: more would only waste the bed
  const apartM = rows === 1 ? 0 : Math.min(spacingM, widthM / (rows - 1))
  const stepM =
    rows === 1 ? spacingM : Math.max(spacingM, 2 * Math.sqrt(Math.max(0, spacingM ** 2 - apartM ** 2)))
  const fullSteps = stepsIn(lengthM, stepM)
  const shiftedSteps = rows === 1 ? -1 : stepsIn(lengthM - stepM / 2, stepM)
  const plants = Math.ceil(rows / 2) * (fullSteps + 1) + Math.floor(rows / 2) * (shiftedSteps + 1)
  return { rows, apartM, stepM, fullSteps, shiftedSteps, plants }
}

function placed({ lengthM, widthM, fromEdgeM }: Standing, how: Rows): Spot[] {
  const { rows, apartM, stepM, fullSteps, shiftedSteps } = how
  const usedM = Math.max(fullSteps * stepM, shiftedSteps >= 0 ? (shiftedSteps + 0.5) * stepM : 0)
  const x0 = fromEdgeM + (lengthM - usedM) / 2
  const y0 = fromEdgeM + (widthM - (rows - 1) * apartM) / 2
  const spots: Spot[] = []
  for (let row = 0; row < rows; row++) {
    const isShifted = row % 2 === 1
    for (let i = 0; i <= (isShifted ? shiftedSteps : fullSteps); i++) {
      spots.push({ xM: x0 + (i + (isShifted ? 0.5 : 0)) * stepM, yM: y0 + row * apartM })
    }
  }
  return spots
}
