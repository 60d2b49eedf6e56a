/** A real InfluxDB 1.x for tests and benchmarks, on a free port, with an administrator of its own. */
import { readFile, writeFile } from 'node:fs/promises'
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

export const hasInfluxd = isInstalled('influxd')
export const influxdNote = skipNote('influxd', hasInfluxd)

export interface InfluxdForTest {
  readonly url: string
  readonly user: string
  readonly password: string
  readonly dir: string
  readonly pid: number
  /** kill -9 */
  kill(): Promise<void>
  /** starts it again on the same port and folder */
  start(): Promise<void>
  /** makes it stand still without closing a connection, as a machine in trouble does */
  freeze(): void
  thaw(): void
  dispose(): Promise<void>
}

const USER = 'gardener'
const PASSWORD = 'only for tests'

export async function startInfluxd({ settings }: { settings?: string } = {}): Promise<InfluxdForTest> {
  const dir = await serverFolder('influxd')
  const port = await freePort()
  const backupPort = await freePort()
  const config = join(dir, 'influxdb.conf')
  // the settings that are shipped, on other folders and ports
  const shipped =
    settings ?? (await readFile(join(import.meta.dirname, '../../deploy/influxdb/influxdb.conf'), 'utf8'))
  await writeFile(
    config,
    shipped
      .replaceAll('/var/lib/influxdb', dir)
      .replace('127.0.0.1:8088', `127.0.0.1:${backupPort}`)
      .replace('":8086"', `"127.0.0.1:${port}"`)
      .replace('level = "warn"', 'level = "error"'),
  )
  await handOver(config)
  const url = `http://127.0.0.1:${port}`
  const isUp = async (): Promise<boolean> => {
    try {
      return (await fetch(`${url}/ping`)).status === 204
    } catch {
      return false
    }
  }
  let running: ServerProcess = await startServer('influxd', ['-config', config], isUp)
  const made = await fetch(`${url}/query`, {
    method: 'POST',
    body: new URLSearchParams({ q: `CREATE USER ${USER} WITH PASSWORD '${PASSWORD}' WITH ALL PRIVILEGES` }),
  })
  if (!made.ok) throw new Error(`influxd took no administrator: ${made.status} ${await made.text()}`)
  return {
    url,
    user: USER,
    password: PASSWORD,
    dir,
    get pid() {
      return running.child.pid!
    },
    kill: () => running.end('SIGKILL'),
    async start() {
      running = await startServer('influxd', ['-config', config], isUp)
    },
    freeze: () => void running.child.kill('SIGSTOP'),
    thaw: () => void running.child.kill('SIGCONT'),
    async dispose() {
      running.child.kill('SIGCONT')
      await running.end('SIGKILL')
      await removeFolder(dir)
    },
  }
}
