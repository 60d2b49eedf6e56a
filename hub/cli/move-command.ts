/** `hearting move --from sqlite --to influx`: copies all readings to the other store, and compares the copy. */
import { SingleBar } from 'cli-progress'
import { Command, Option } from 'commander'
import { type Config, loadConfig } from '../config.js'
import { readStoreSettings } from '../service-settings.js'
import { claimDataFolder } from '../sqlite/data-folder.js'
import { type CopyResult, copyReadings } from '../store/copy-readings.js'
import { openStore } from '../store/open-store.js'
import type { CopyableStore } from '../store/stored-rows.js'

const STORES = ['sqlite', 'influx'] as const
type StoreName = (typeof STORES)[number]

interface MoveOptions {
  readonly from: StoreName
  readonly to: StoreName
  readonly config?: string
  readonly json: boolean
}

export function moveCommand(): Command {
  return new Command('move')
    .summary('copy all readings from one store to the other')
    .description(
      'Copies every reading, with its flags and time of arrival, from one store to the other, then compares\n' +
        'the copy with the original. Nothing is deleted. Stop the hub first; afterwards set HEARTING_STORE.\n' +
        'Broken off, it can be run again: what is there already is not copied twice.',
    )
    .addOption(new Option('--from <store>', 'where the readings are').choices(STORES).makeOptionMandatory())
    .addOption(new Option('--to <store>', 'where they shall be').choices(STORES).makeOptionMandatory())
    .option('--config <file>', 'settings file (hearting.config.json where it is there)')
    .option('--json', 'print the outcome as JSON', false)
    .addHelpText('after', '\nExit codes: 0 the copy is exact, 1 it failed, 3 some readings are not the same.')
    .action(async ({ from, to, config: file, json }: MoveOptions, command: Command) => {
      if (from === to) command.error('error: --from and --to name the same store')
      const result = await moveReadings(
        loadConfig(process.env, file),
        from,
        to,
        process.stderr.isTTY === true,
      )
      console.log(json ? JSON.stringify(result) : describeMove(result, to))
      if (result.different + result.missing > 0) process.exitCode = 3
    })
}

/** @throws DataFolderError  while a hub runs on the folder; StoreError, ConfigError */
export async function moveReadings(
  config: Config,
  from: StoreName,
  to: StoreName,
  showsProgress = false,
): Promise<CopyResult> {
  const folder = claimDataFolder(config.dataDir)
  const opened: CopyableStore[] = []
  const open = async (name: StoreName): Promise<CopyableStore> => {
    const { store } = await openStore({
      ...readStoreSettings({ ...config, store: name }),
      dataDir: folder.dir,
    })
    opened.push(store)
    return store
  }
  const bar = new SingleBar({ format: '{phase} [{bar}] {percentage} %  {value} of {total} readings' })
  let phase: string | null = null
  try {
    return await copyReadings(await open(from), await open(to), (progress) => {
      if (!showsProgress) return
      if (phase !== progress.phase) {
        bar.stop()
        bar.start(progress.total, 0, { phase: progress.phase })
      }
      phase = progress.phase
      bar.update(progress.done)
    })
  } finally {
    bar.stop()
    for (const store of opened.reverse()) await store.close()
    folder.release()
  }
}

export function describeMove(result: CopyResult, to: StoreName): string {
  const { readings, series, copied, verified, different, missing } = result
  const lines = [
    `${readings} readings of ${series} series: ${copied} copied, ${readings - copied} were there already.`,
    `Compared with the original: ${verified} the same, ${different} different, ${missing} missing.`,
  ]
  if (different > 0)
    lines.push(
      'Different: the store had another value for that node and time first, and the first value stays.',
    )
  if (different + missing === 0) lines.push(`The copy is exact. Set HEARTING_STORE=${to} to use it.`)
  return lines.join('\n')
}
