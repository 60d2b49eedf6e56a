/**
 * What a demo's data folder remembers: when it was first started and with which seed. Its weather follows from
 * these, so a later start goes on where the last one ended.
 */
import { existsSync, mkdirSync } from 'node:fs'
import { readFile, rename, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { z } from 'zod'

const FILE = 'demo.json'
const DAY_MS = 86_400_000
/** Longer than this ago, the demo's plantings are over and filling up the time since would take too long. */
const GOES_ON_FOR_MS = 60 * DAY_MS

const DemoState = z.strictObject({
  /** first start, UTC ms */
  startedAtMs: z.number(),
  seed: z.int(),
  /** garden, beds and plantings are entered and the months before the first start are stored */
  isComplete: z.boolean(),
})
export type DemoState = z.infer<typeof DemoState>

/** A folder that the demo must not or cannot use; the message says what to do. */
export class DemoFolderError extends Error {
  constructor(message: string, options?: { cause?: unknown }) {
    super(message, options)
    this.name = 'DemoFolderError'
  }
}

/**
 * The state of a demo in a folder; a new one where there is none.
 *
 * @throws DemoFolderError  the folder holds a real garden, an older demo, or a file that cannot be read
 */
export async function openDemoState(dataDir: string, nowMs: number, seed: number): Promise<DemoState> {
  mkdirSync(dataDir, { recursive: true })
  const path = join(dataDir, FILE)
  if (!existsSync(path)) {
    // invented readings must never get among measured ones
    if (existsSync(join(dataDir, 'readings.sqlite')) || existsSync(join(dataDir, 'garden.sqlite'))) {
      throw new DemoFolderError(
        `${dataDir} holds the data of a real garden. The demo leaves it alone: name another folder with --data-dir, or none.`,
      )
    }
    const state: DemoState = { startedAtMs: nowMs, seed, isComplete: false }
    await saveDemoState(dataDir, state)
    return state
  }
  const state = await readState(path)
  if (nowMs - state.startedAtMs > GOES_ON_FOR_MS || nowMs < state.startedAtMs) {
    throw new DemoFolderError(
      `The demo in ${dataDir} was begun on ${new Date(state.startedAtMs).toISOString().slice(0, 10)} and its season is over. ` +
        'Delete that folder, or name another with --data-dir.',
    )
  }
  return state
}

async function readState(path: string): Promise<DemoState> {
  try {
    return DemoState.parse(JSON.parse(await readFile(path, 'utf8')))
  } catch (cause) {
    throw new DemoFolderError(`${path} cannot be read. Delete the demo’s folder and start again.`, { cause })
  }
}

export async function saveDemoState(dataDir: string, state: DemoState): Promise<void> {
  const path = join(dataDir, FILE)
  await writeFile(`${path}.new`, `${JSON.stringify(state, null, 2)}\n`)
  await rename(`${path}.new`, path)
}
