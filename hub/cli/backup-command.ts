/** `hearting backup FILE`: everything of the hub in one file, while it runs. */
import { Command } from 'commander'
import { loadConfig } from '../config.js'
import { makeBackup } from '../keep/backup.js'
import { isTerminal, progressLine, sizeText } from './progress-line.js'

interface BackupOptions {
  readonly config?: string
  readonly json: boolean
}

export function backupCommand(): Command {
  return new Command('backup')
    .summary('copy everything of the hub into one file, while it runs')
    .description(
      'Writes one file (tar) with copies of the hub’s databases as they are at this moment: gardens, readings, and what\n' +
        'opens the hub: passphrase, tokens and nodes’ passwords, as digests. Keep it as safe as the hub itself. The hub may\n' +
        'run meanwhile. For a while it needs room for twice the data.\n\n' +
        'Readings in a database of their own (InfluxDB) are not in it but for those on their way there: back that up by\n' +
        'its own means, or use `hearting export`.',
    )
    .argument('<file>', 'a file that is not there yet, e.g. hub-2027-05-06.tar')
    .option('--config <file>', 'settings file of the hub (hearting.config.json where it is there)')
    .option('--json', 'print the outcome as JSON', false)
    .action(async (file: string, options: BackupOptions) => {
      const config = loadConfig(process.env, options.config)
      const progress = progressLine(!options.json && isTerminal())
      let shown = ''
      try {
        const manifest = await makeBackup(config.dataDir, file, {
          onProgress({ file: name, phase, part }) {
            if (shown !== `${phase} ${name}`) progress.start(`${phase} ${name}`, 100, '%')
            shown = `${phase} ${name}`
            progress.at(Math.floor(part * 100))
          },
        })
        progress.stop()
        const bytes = manifest.files.reduce((sum, one) => sum + one.bytes, 0)
        if (options.json) console.log(JSON.stringify({ file, ...manifest }))
        else {
          console.log(
            `${file}: ${manifest.files.map(({ name }) => name).join(', ')}, ${sizeText(bytes)}. Keep it safe: it opens the hub.`,
          )
          if (config.store === 'influx') {
            console.log('The readings in InfluxDB are not in it: back that database up by its own means.')
          }
        }
      } finally {
        progress.stop()
      }
    })
}
