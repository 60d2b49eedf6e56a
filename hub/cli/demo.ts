/** `hearting demo`: the whole hub on an invented garden, with nodes that really publish to it. Loopback only. */
import { resolve } from 'node:path'
import { Command, InvalidArgumentError } from 'commander'
import { DemoFolderError } from './demo/demo-state.js'
import { type Demo, PUBLISH_EVERY_MS, startDemo } from './demo/start-demo.js'
import { hubLog } from './hub-log.js'
import { PublishError } from './publisher.js'

/** The `demo` command, to be added to the program; sets process.exitCode. */
export function demoCommand(): Command {
  return new Command('demo')
    .summary('show the whole hub on an invented garden')
    .description(
      'Starts the whole hub on an invented garden: three beds, about four months of made-up weather up to now, and ' +
        'nodes that publish to it over MQTT every few seconds. Nothing in it was measured. Only this machine can ' +
        'reach it.',
    )
    .option('--http-port <n>', 'port of the page (0: any free one)', port, 8080)
    .option('--mqtt-port <n>', 'port of the broker (0: any free one)', port, 1883)
    .option('--data-dir <folder>', 'keep the demo’s data there and go on with it the next time')
    .action(async (options: { httpPort: number; mqttPort: number; dataDir?: string }) => {
      process.exitCode = await runDemo(options)
    })
}

const port = (text: string): number => {
  const value = Number(text)
  if (/^\d{1,5}$/.test(text) && value <= 65_535) return value
  throw new InvalidArgumentError('Use a port number from 0 to 65535.')
}

async function runDemo(options: { httpPort: number; mqttPort: number; dataDir?: string }): Promise<number> {
  const stopped = untilToldToStop()
  const say = (line: string): void => console.log(line)
  let demo: Demo
  try {
    demo = await startDemo({
      ...options,
      dataDir: options.dataDir ?? null,
      log: hubLog('warn'),
      say,
      showBar: process.stderr.isTTY === true,
    })
  } catch (error) {
    if (!isExpected(error)) throw error
    console.error(explain(error, options))
    return 1
  }
  say(welcome(demo, options.dataDir))
  const failure = await Promise.race([stopped, demo.hub.failed])
  if (failure) console.error(`The hub failed: ${failure.message}`)
  else say('Stopping.')
  await demo.close()
  return failure ? 1 : 0
}

type Expected = DemoFolderError | PublishError | (Error & { code: 'EADDRINUSE' | 'EACCES'; port?: number })

const isExpected = (error: unknown): error is Expected =>
  error instanceof DemoFolderError ||
  error instanceof PublishError ||
  (error instanceof Error && 'code' in error && (error.code === 'EADDRINUSE' || error.code === 'EACCES'))

function explain(error: Expected, options: { httpPort: number; mqttPort: number }): string {
  if (error instanceof DemoFolderError || error instanceof PublishError) return error.message
  if (error.code === 'EACCES')
    return `${error.message}. Ports below 1024 need special rights; folders need write permission.`
  const isBroker = error.port === options.mqttPort
  const option = isBroker ? '--mqtt-port' : '--http-port'
  const free = (isBroker ? options.mqttPort : options.httpPort) + 1
  return (
    `Port ${error.port ?? ''} is taken: another hub, or another program, listens there. Stop it, or give the demo another ` +
    `port: npm run demo -- ${option} ${free} (or 0 for any free one).`
  )
}

function welcome({ hub }: Demo, dataDir: string | undefined): string {
  return [
    '',
    `  The page       ${hub.httpUrl}`,
    `  Nodes publish  ${hub.mqttUrl}  every ${PUBLISH_EVERY_MS / 1000} s`,
    dataDir === undefined
      ? '  Data           in a temporary folder, gone when the demo ends (keep it with --data-dir)'
      : `  Data           ${resolve(dataDir)}`,
    '',
    'Ctrl-C stops it. For a real garden: npm start',
    '',
  ].join('\n')
}

/** Resolves at the first signal; a second one then ends the process the usual way. */
function untilToldToStop(): Promise<null> {
  return new Promise((resolve) => {
    const stop = (): void => {
      process.off('SIGINT', stop)
      process.off('SIGTERM', stop)
      resolve(null)
    }
    process.on('SIGINT', stop)
    process.on('SIGTERM', stop)
  })
}
