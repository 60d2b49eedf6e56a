/** `hearting serve`: the hub of a real garden, until it is told to stop. */
import { Command } from 'commander'
import { loadConfig } from '../config.js'
import { type Hub, startHub } from '../main.js'
import { hubLog } from './hub-log.js'

const STOP_SIGNALS = ['SIGINT', 'SIGTERM'] as const

export function serveCommand(): Command {
  return new Command('serve')
    .summary('run the hub (the default)')
    .description(
      'Runs the hub: takes readings from nodes over MQTT, stores them, and serves the page.\n\n' +
        'Settings are environment variables (HEARTING_HTTP_PORT=8080) or keys of hearting.config.json\n' +
        '("httpPort": 8080). As it comes, only this machine can reach it.',
    )
    .option('--config <file>', 'settings file (hearting.config.json where it is there)')
    .action(async ({ config: file }: { config?: string }) => {
      const config = loadConfig(process.env, file)
      const log = hubLog(config.logLevel)
      const hub = await startHub(config, { log })
      console.log(welcome(hub))
      const failure = await Promise.race([untilToldToStop(), hub.failed])
      if (failure) process.exitCode = 1
      console.log(failure ? `Stopping: ${failure.message}` : 'Stopping: what is under way is stored first.')
      await hub.close()
    })
}

/** What to do next, in plain words. */
export function welcome(hub: Hub): string {
  return [
    '',
    'The hub is running. Ctrl-C stops it.',
    '',
    `  The page       ${hub.httpUrl}`,
    `  Nodes publish  ${hub.mqttUrl}  to  ${hub.readingsTopic}`,
    `  Data           ${hub.dataDir}`,
    '',
    hub.isOpenToNetwork
      ? 'It is open to your network and has no sign-in yet: use it only where you trust everyone, and never\n' +
        'on the open internet.'
      : 'Only this machine can reach it. To let nodes and phones on your network in, start it with\n' +
        'HEARTING_HTTP_HOST=0.0.0.0 HEARTING_MQTT_HOST=0.0.0.0. There is no sign-in yet: do so only where you\n' +
        'trust everyone on the network, and never on the open internet.',
    '',
  ].join('\n')
}

/** Resolves with null at the first signal; a second one then ends the process the usual way. */
export function untilToldToStop(): Promise<null> {
  return new Promise((resolve) => {
    const stop = (): void => {
      for (const signal of STOP_SIGNALS) process.off(signal, stop)
      resolve(null)
    }
    for (const signal of STOP_SIGNALS) process.on(signal, stop)
  })
}
