/** `hearting restore FILE`: a backup back into a data folder. */
import { Command } from 'commander'
import { loadConfig } from '../config.js'
import { GARDEN_MIGRATIONS } from '../garden/sqlite/schema.js'
import { restoreBackup } from '../keep/restore.js'
import { claimDataFolder } from '../sqlite/data-folder.js'
import { SPOOL_VERSION } from '../store/influx/spool-schema.js'
import { READINGS_VERSION } from '../store/sqlite/readings-schema.js'
import { isTerminal, progressLine } from './progress-line.js'

interface RestoreCommandOptions {
  readonly replace: boolean
  readonly config?: string
  readonly json: boolean
}

export function restoreCommand(): Command {
  return new Command('restore')
    .summary('put a backup into the data folder')
    .description(
      'Puts a backup of `hearting backup` into the data folder, with the hub stopped. First all of it is verified:\n' +
        'checksums, and each database by SQLite’s own check. A damaged or cut-off file is refused, and nothing is changed.\n' +
        'Who could sign in then can sign in again, and nodes keep the passwords they had then.',
    )
    .argument('<file>', 'the backup')
    .option('--replace', 'where there is data already: put it aside (nothing is deleted)', false)
    .option('--config <file>', 'settings file of the hub (hearting.config.json where it is there)')
    .option('--json', 'print the outcome as JSON', false)
    .action(async (file: string, options: RestoreCommandOptions) => {
      const config = loadConfig(process.env, options.config)
      const folder = claimDataFolder(config.dataDir)
      const progress = progressLine(!options.json && isTerminal())
      let shown = ''
      try {
        const { manifest, putAside } = await restoreBackup(file, folder.dir, {
          replace: options.replace,
          knownVersions: {
            'garden.sqlite': GARDEN_MIGRATIONS.length,
            'readings.sqlite': READINGS_VERSION,
            'spool.sqlite': SPOOL_VERSION,
          },
          onProgress({ file: name, part }) {
            if (shown !== name) progress.start(name, 100, '%')
            shown = name
            progress.at(Math.floor(part * 100))
          },
        })
        progress.stop()
        if (options.json) console.log(JSON.stringify({ folder: folder.dir, putAside, ...manifest }))
        else {
          console.log(`${folder.dir} is as it was on ${manifest.madeAt}. Start the hub.`)
          if (putAside !== null)
            console.log(`What was there lies in ${putAside}: delete it when all is well.`)
        }
      } finally {
        progress.stop()
        folder.release()
      }
    })
}
