/** Memory of the built hub as its own process: bare Node.js, the hub at rest, the hub with 20 nodes publishing. */
import { type ChildProcess, execFile, spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import { promisify } from 'node:util'
import { z } from 'zod'
import { connectPublisher } from '../../hub/cli/publisher.js'
import { senmlPack } from '../../hub/cli/senml-pack.js'
import { TOKEN_USER } from '../../hub/doors/mqtt-logins.js'
import { topicsUnder } from '../../hub/ingest/topics.js'
import type { BenchRow } from './bench-row.js'

const NODES = 20
const PUBLISH_EVERY_MS = 200
const PUBLISHING_MS = 15_000
const SETTLE_MS = 3_000
const HUB = resolve(import.meta.dirname, '../../build/hub/cli/main.js')

/** Null where memory cannot be read (no /proc) or the hub is not built; the second value says which. */
export async function memoryBench(): Promise<BenchRow[] | string> {
  if (!existsSync('/proc/self/status')) return 'memory: not measured, this system has no /proc'
  if (!existsSync(HUB)) return 'memory: not measured, the hub is not built (npm run build)'
  const bareMiB = await bareNode()
  const dataDir = await mkdtemp(join(tmpdir(), 'hearting-bench-'))
  const environment = {
    PATH: process.env.PATH,
    HEARTING_DATA_DIR: dataDir,
    HEARTING_HTTP_PORT: '0',
    HEARTING_MQTT_PORT: '0',
    HEARTING_LOG_LEVEL: 'error',
  }
  const hub = spawn(process.execPath, [HUB, 'serve'], {
    env: environment,
    cwd: dataDir,
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  try {
    const port = await mqttPort(hub)
    const token = await makeToken(environment)
    // the hub knows of a new token within a second
    await delay(SETTLE_MS)
    const restingMiB = await residentMiB(hub)
    const messages = await publish(port, token)
    const publishingMiB = await residentMiB(hub)
    const bare = 'Node.js that does nothing'
    return [
      { name: bare, value: bareMiB, unit: 'MiB', ratioTo: null },
      { name: 'the hub, no node connected', value: restingMiB, unit: 'MiB', ratioTo: bare },
      {
        name: `the hub, ${NODES} nodes publishing (${Math.round((messages * 1000) / PUBLISHING_MS)} packs/s)`,
        value: publishingMiB,
        unit: 'MiB',
        ratioTo: bare,
      },
    ]
  } finally {
    await end(hub)
    await rm(dataDir, { recursive: true, force: true })
  }
}

async function bareNode(): Promise<number> {
  const idle = spawn(process.execPath, ['-e', 'setInterval(() => {}, 1000)'], { stdio: 'ignore' })
  await delay(1_000)
  const memory = await residentMiB(idle)
  await end(idle)
  return memory
}

async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null) return
  const exited = new Promise((done) => child.once('exit', done))
  child.kill('SIGTERM')
  await exited
}

async function residentMiB(child: ChildProcess): Promise<number> {
  const status = await readFile(`/proc/${child.pid}/status`, 'utf8')
  const kB = /^VmRSS:\s+(\d+) kB/m.exec(status)?.[1]
  if (kB === undefined) throw new Error('no VmRSS in /proc/…/status')
  return Number(kB) / 1024
}

/** The port as the hub says it when it has started. */
function mqttPort(hub: ChildProcess): Promise<number> {
  return new Promise((found, reject) => {
    let text = ''
    hub.stdout?.on('data', (chunk: Buffer) => {
      text += chunk.toString()
      const port = /mqtt:\/\/[^:\s]+:(\d+)/.exec(text)?.[1]
      if (port !== undefined) found(Number(port))
    })
    hub.once('exit', (code) => reject(new Error(`the hub ended with code ${code}:\n${text}`)))
  })
}

/** Made beside the running hub, as its owner would. */
async function makeToken(env: NodeJS.ProcessEnv): Promise<string> {
  const args = [HUB, 'token', 'add', 'bench', '--scope', 'write', '--json']
  const { stdout } = await promisify(execFile)(process.execPath, args, { env })
  return z.object({ token: z.string() }).parse(JSON.parse(stdout)).token
}

async function publish(port: number, token: string): Promise<number> {
  const login = { username: TOKEN_USER, password: token }
  const topics = topicsUnder()
  const ids = Array.from({ length: NODES }, (_, i) => `node-${i}`)
  const nodes = await Promise.all(
    ids.map((clientId) => connectPublisher({ host: '127.0.0.1', port, clientId, login })),
  )
  let messages = 0
  const untilMs = Date.now() + PUBLISHING_MS
  while (Date.now() < untilMs) {
    const timeMs = Date.now()
    const pack = senmlPack([
      { quantity: 'air-temp', timeMs, value: 17.4 },
      { quantity: 'soil-temp', timeMs, value: 14.9 },
      { quantity: 'light', timeMs, value: 38_100 },
    ])
    await Promise.all(nodes.map((node, i) => node.publish(topics.readings('home', ids[i]!), pack)))
    messages += nodes.length
    await delay(Math.max(0, timeMs + PUBLISH_EVERY_MS - Date.now()))
  }
  await Promise.all(nodes.map((node) => node.close()))
  return messages
}
