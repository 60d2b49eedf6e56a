/** Why a command could not do its work, in words for whoever typed it; a stack only for what nobody foresaw. */
import { ConfigError } from '../config.js'
import { GardenError } from '../garden/port.js'
import { KeepError, TidyCsvError } from '../keep/port.js'
import { DataFolderError } from '../sqlite/data-folder.js'
import { MigrationError } from '../sqlite/migrate.js'
import { StoreError } from '../store/port.js'
import { DoorFileError } from './door-file.js'

export function explain(error: unknown): string {
  if (error instanceof ConfigError) return `The settings cannot be used:\n${error.message}`
  if (error instanceof DoorFileError || error instanceof MigrationError) return error.message
  if (error instanceof TidyCsvError) return error.message
  if (error instanceof KeepError)
    return [error.message, ...error.problems.map((one) => `  ${one}`)].join('\n')
  if (error instanceof DataFolderError || error instanceof StoreError || error instanceof GardenError) {
    return error.message
  }
  if (!(error instanceof Error)) return String(error)
  const { code, port, path } = error as NodeJS.ErrnoException & { port?: number }
  switch (code) {
    case 'EADDRINUSE':
      return (
        `Port ${port} is taken: another program, or another hub, listens there. Stop it, or choose another port ` +
        '(HEARTING_HTTP_PORT for the page, HEARTING_MQTT_PORT for nodes).'
      )
    case 'ENOSPC':
    case 'SQLITE_FULL':
      return 'The disk is full: make room, then do it again. What was not whole has been cleared away.'
    case 'EROFS':
    case 'EPERM':
      return error.message
    case 'EACCES':
      if (port === undefined) return `Not allowed to read or write ${path ?? 'this file'}: whose is it?`
      return `Not allowed to listen on port ${port}: ports below 1024 are for the system. Choose a higher one.`
    case 'EADDRNOTAVAIL':
      return 'This machine does not have the address in HEARTING_HTTP_HOST or HEARTING_MQTT_HOST (0.0.0.0 is all of them).'
    default:
      return error.stack ?? error.message
  }
}
