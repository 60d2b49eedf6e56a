#!/usr/bin/env node
/** The command line: `hearting serve | demo | replay | export | import | backup | restore | owner | token | node | move`. Each is a file beside this one. */
import { readFileSync } from 'node:fs'
import { Command } from 'commander'
import { z } from 'zod'
import { backupCommand } from './backup-command.js'
import { demoCommand } from './demo.js'
import { exportCommand } from './export-command.js'
import { explain } from './failures.js'
import { importCommand } from './import-command.js'
import { moveCommand } from './move-command.js'
import { nodeCommand } from './node-command.js'
import { ownerCommand } from './owner-command.js'
import { replayCommand } from './replay-command.js'
import { restoreCommand } from './restore-command.js'
import { serveCommand } from './serve.js'
import { tokenCommand } from './token-command.js'

const program = new Command('hearting')
  .description('Measures sun, heat and soil of your beds, and says what it means for what grows there.')
  .version(version(), '-V, --version', 'print the version')
  .helpOption('-h, --help', 'print this help')
  .showHelpAfterError('(--help lists what there is)')
  .addHelpText(
    'after',
    '\nExit codes: 0 all went well, 1 it failed (the message says why), others as each command says.',
  )
  .addCommand(serveCommand(), { isDefault: true })
  .addCommand(demoCommand())
  .addCommand(replayCommand())
  .addCommand(exportCommand())
  .addCommand(importCommand())
  .addCommand(backupCommand())
  .addCommand(restoreCommand())
  .addCommand(ownerCommand())
  .addCommand(tokenCommand())
  .addCommand(nodeCommand())
  .addCommand(moveCommand())

const [name] = process.argv.slice(2)
// the default command would take a mistyped one for its own argument
if (name !== undefined && !name.startsWith('-') && name !== 'help' && !isCommand(name)) {
  program.error(`error: there is no command '${name}'`)
}
try {
  await program.parseAsync()
} catch (error) {
  console.error(explain(error))
  process.exitCode = 1
}

function isCommand(name: string): boolean {
  return program.commands.some((command) => command.name() === name)
}

/** package.json lies above hub/ (run from source) or above build/hub/ (compiled). */
function version(): string {
  for (const path of ['../../package.json', '../../../package.json']) {
    try {
      const text = readFileSync(new URL(path, import.meta.url), 'utf8')
      return z.object({ version: z.string() }).parse(JSON.parse(text)).version
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error
    }
  }
  return 'unknown'
}
