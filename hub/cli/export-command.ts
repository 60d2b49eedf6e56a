/** `hearting export DIR`: all of a garden in files that other programs read too. */
import { Command } from 'commander'
import { loadConfig } from '../config.js'
import { EXPORT_FILES, type ExportSource, writeExportFolder } from '../keep/export-folder.js'
import type { GardenKeep } from '../keep/port.js'
import { givenId } from './given-id.js'
import { openOwnParts } from './own-parts.js'
import { isTerminal, progressLine, sizeText } from './progress-line.js'
import { runningHub } from './running-hub.js'

interface ExportOptions {
  readonly garden: string
  readonly config?: string
  readonly http?: string
  readonly json: boolean
}

export function exportCommand(): Command {
  return new Command('export')
    .summary('write all of a garden into files')
    .description(
      'Writes a new folder with all of a garden:\n' +
        '  garden.json   beds, nodes, plantings, journal with photos, own crops, settings, warnings\n' +
        '  readings.csv  every reading\n' +
        '  days.csv      the day records of every bed\n' +
        'in forms that other programs read (docs/export.md), and `hearting import` takes in again. No secrets are in it:\n' +
        'passphrase, tokens, nodes’ passwords and the webhook are set anew elsewhere. For those make a backup.\n\n' +
        'Beside a running hub it asks the hub, with an API token (scope `read`) in HEARTING_TOKEN.',
    )
    .argument('<folder>', 'a folder that is not there yet')
    .option('--garden <id>', 'which garden', givenId, 'home')
    .option('--config <file>', 'settings file of the hub (hearting.config.json where it is there)')
    .option('--http <url>', 'address of the running hub’s page, where it is not the usual one')
    .option('--json', 'print the outcome as JSON', false)
    .action(async (dir: string, options: ExportOptions) => {
      const config = loadConfig(process.env, options.config)
      const own = await openOwnParts(config)
      const progress = progressLine(!options.json && isTerminal())
      try {
        const source: ExportSource = own
          ? (file) => ownFile(own.keep, options.garden)[file]()
          : (file) => runningHub(config, options.http).read(options.garden, file)
        let current = ''
        const sizes = await writeExportFolder(dir, source, ({ file, bytes }) => {
          if (file !== current) progress.start(file, 0, 'bytes')
          current = file
          progress.at(bytes)
        })
        progress.stop()
        if (options.json) console.log(JSON.stringify({ folder: dir, bytes: sizes }))
        else {
          const parts = EXPORT_FILES.map((file) => `${file} (${sizeText(sizes[file] ?? 0)})`)
          console.log(`${dir}: ${parts.join(', ')}. Secrets are not in it.`)
        }
      } finally {
        progress.stop()
        await own?.close()
      }
    })
}

const ownFile = (keep: GardenKeep, garden: string) => ({
  'garden.json': () => keep.gardenJson(garden),
  'readings.csv': () => keep.readingsCsv(garden),
  'days.csv': () => keep.daysCsv(garden),
})
