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
      let isWelcomed = false
      let code: SetUpCode | null = null
      const hub = await startHub(config, {
        log,
        doors: 'closed',
        onSetUpCode(text, goodUntilMs) {
          code = { text, goodUntilMs }
          if (isWelcomed) console.log(setUpNote(code))
        },
      })
      console.log(welcome(hub, code))
      isWelcomed = true
      const failure = await Promise.race([untilToldToStop(), hub.failed])
      if (failure) process.exitCode = 1
      console.log(failure ? `Stopping: ${failure.message}` : 'Stopping: what is under way is stored first.')
      await hub.close()
    })
}

interface SetUpCode {
  readonly text: string
  readonly goodUntilMs: number
}

/** What to do next, in plain words. */
export function welcome(hub: Hub, code: SetUpCode | null): string {
  return [
    '',
    'The hub is running. Ctrl-C stops it.',
    '',
    `  The page       ${hub.httpUrl}`,
    `  Nodes publish  ${hub.mqttUrl}  to  ${hub.readingsTopic}`,
    `  Data           ${hub.dataDir}`,
    '',
    ...(hub.isWithoutOwner && code !== null ? [setUpNote(code), ''] : []),
    hub.isOpenToNetwork
      ? 'Your network can reach it; who comes in signs in, and each node has a password of its own. On the open\n' +
        'internet let it speak TLS only (HEARTING_HTTP_TLS_CERT_FILE and its like, or a proxy in front).'
      : 'Only this machine can reach it. To let nodes and phones on your network in, start it with\n' +
        'HEARTING_HTTP_HOST=0.0.0.0 HEARTING_MQTT_HOST=0.0.0.0.',
    '',
  ].join('\n')
}

/** For whoever stands at the hub: with this code the first visitor becomes the owner. */
function setUpNote({ text, goodUntilMs }: SetUpCode): string {
  const until = new Date(goodUntilMs).toTimeString().slice(0, 5)
  return (
    `This hub has no owner yet. Open the page, choose a passphrase, and give the set-up code\n\n` +
    `    ${text}\n\n` +
    `good until ${until}; after that another is shown here.`
  )
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
