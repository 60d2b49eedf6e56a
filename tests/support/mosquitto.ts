/** A real Mosquitto for tests and benchmarks, on a free port, with the settings of deploy/mosquitto/. */
import { execFileSync } from 'node:child_process'
import { once } from 'node:events'
import { writeFile } from 'node:fs/promises'
import { createConnection } from 'node:net'
import { join } from 'node:path'
import {
  freePort,
  handOver,
  isInstalled,
  removeFolder,
  type ServerProcess,
  serverFolder,
  skipNote,
  startServer,
} from './server-process.js'

export const hasMosquitto = isInstalled('mosquitto')
export const mosquittoNote = skipNote('mosquitto', hasMosquitto)

export interface MosquittoForTest {
  readonly url: string
  readonly port: number
  readonly pid: number
  /** kill -9: what was not in its last snapshot is lost, by its design */
  kill(): Promise<void>
  /** told to stop: it writes its snapshot first */
  stop(): Promise<void>
  start(): Promise<void>
  dispose(): Promise<void>
}

export interface MosquittoSettings {
  /** lines of its configuration, beside the listener and the persistence */
  readonly lines?: readonly string[]
  /** user → password; without it anyone may connect */
  readonly users?: Readonly<Record<string, string>>
  readonly acl?: string
  readonly tls?: { readonly cert: string; readonly key: string; readonly ca: string }
}

export async function startMosquitto(settings: MosquittoSettings = {}): Promise<MosquittoForTest> {
  const dir = await serverFolder('mosquitto')
  const port = await freePort()
  const put = async (name: string, text: string): Promise<string> => {
    const path = join(dir, name)
    await writeFile(path, text)
    await handOver(path)
    return path
  }
  const lines = [
    `listener ${port} 127.0.0.1`,
    'persistence true',
    `persistence_location ${dir}/`,
    'autosave_interval 1800',
    'max_inflight_messages 1000',
    'max_queued_messages 0',
    'log_type error',
    ...(settings.lines ?? []),
  ]
  if (settings.users) {
    const file = await put('passwords', '')
    for (const [user, password] of Object.entries(settings.users))
      execFileSync('mosquitto_passwd', ['-b', file, user, password], { stdio: 'ignore' })
    await handOver(file)
    lines.push('allow_anonymous false', `password_file ${file}`)
  } else lines.push('allow_anonymous true')
  if (settings.acl !== undefined) lines.push(`acl_file ${await put('acl', settings.acl)}`)
  if (settings.tls) {
    lines.push(`certfile ${await put('cert.pem', settings.tls.cert)}`)
    lines.push(`keyfile ${await put('key.pem', settings.tls.key)}`)
  }
  const config = await put('mosquitto.conf', `${lines.join('\n')}\n`)

  const isUp = async (): Promise<boolean> => {
    const socket = createConnection(port, '127.0.0.1')
    try {
      await once(socket, 'connect')
      return true
    } catch {
      return false
    } finally {
      socket.destroy()
    }
  }
  const launch = (): Promise<ServerProcess> => startServer('mosquitto', ['-c', config], isUp)
  let running = await launch()
  return {
    url: `${settings.tls ? 'mqtts' : 'mqtt'}://127.0.0.1:${port}`,
    port,
    get pid() {
      return running.child.pid!
    },
    kill: () => running.end('SIGKILL'),
    stop: () => running.end('SIGTERM'),
    async start() {
      running = await launch()
    },
    async dispose() {
      await running.end('SIGKILL')
      await removeFolder(dir)
    },
  }
}
