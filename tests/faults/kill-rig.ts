/** What kill tests share: a hub in a process of its own, nodes that note what was acknowledged, and the killing. */
import { type ChildProcess, execFile, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { promisify } from 'node:util'
import mqtt, { type MqttClient } from 'mqtt'

export const START_MS = Date.UTC(2027, 4, 6)

/**
 * Translates the hub process once, so that 20 starts do not translate it 20 times in three threads.
 * The place is inside the repository, where its imports are found.
 */
export async function buildHubProcess(name: string): Promise<{ script: string; remove(): Promise<void> }> {
  const root = join(import.meta.dirname, '../..')
  const cache = join(root, 'node_modules/.cache')
  await mkdir(cache, { recursive: true })
  const dir = await mkdtemp(join(cache, 'kill-test-'))
  await writeFile(join(dir, 'package.json'), '{"type":"module"}')
  const tsconfig = {
    extends: join(root, 'tsconfig.json'),
    compilerOptions: {
      noEmit: false,
      outDir: dir,
      rootDir: root,
      typeRoots: [join(root, 'node_modules/@types')],
    },
    include: [join(import.meta.dirname, `${name}.ts`)],
    exclude: [],
  }
  await writeFile(join(dir, 'tsconfig.json'), JSON.stringify(tsconfig))
  await promisify(execFile)(process.execPath, [join(root, 'node_modules/typescript/bin/tsc'), '-p', dir])
  return {
    script: join(dir, `tests/faults/${name}.js`),
    remove: () => rm(dir, { recursive: true }),
  }
}

/** @returns the process, and the number that it prints when it is ready */
export async function startHub(
  script: string,
  ...args: readonly (string | number)[]
): Promise<{ child: ChildProcess; port: number }> {
  const child = spawn(process.execPath, [script, ...args.map(String)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const [line] = (await Promise.race([
    once(child.stdout!, 'data'),
    once(child, 'exit').then(() => Promise.reject(new Error('the hub did not start'))),
  ])) as [Buffer]
  return { child, port: Number(line.toString()) }
}

/** A node that publishes one reading after the other, some in flight, and notes what was acknowledged. */
export function startNode(
  node: string,
  port: number,
  onAcknowledged: () => void,
  /** publishes that wait for their acknowledgement at a time, and the pause after each */
  { inFlight = 25, pauseMs = 0 }: { inFlight?: number; pauseMs?: number } = {},
) {
  const client: MqttClient = mqtt.connect(`mqtt://127.0.0.1:${port}`, {
    clientId: node,
    clean: false,
    reconnectPeriod: 20,
    connectTimeout: 5_000,
  })
  client.on('error', () => {})
  const acknowledged = new Set<number>()
  let published = 0
  let isStopped = false
  /** The client library redelivers by itself, but drops what was queued when a reconnection breaks again. */
  async function untilAcknowledged(topic: string, pack: string): Promise<void> {
    for (;;) {
      try {
        await client.publishAsync(topic, pack, { qos: 1 })
        return
      } catch {
        // not acknowledged: the node still has it and sends it again
        if (client.disconnecting) throw new Error('the test has given up')
      }
    }
  }
  async function publishOn(): Promise<void> {
    while (!isStopped) {
      const second = published++
      const pack = JSON.stringify([{ n: 'air-temp', u: 'Cel', t: START_MS / 1000 + second, v: second / 8 }])
      await untilAcknowledged(`gardens/home/nodes/${node}/readings`, pack)
      acknowledged.add(second)
      onAcknowledged()
      if (pauseMs > 0) await new Promise((resolve) => setTimeout(resolve, pauseMs))
    }
  }
  const running = Promise.all(Array.from({ length: inFlight }, publishOn))
  return {
    node,
    acknowledged,
    published: () => published,
    /** resolves when everything published has been acknowledged */
    async stop() {
      isStopped = true
      await running
    },
    abandon() {
      isStopped = true
      running.catch(() => {})
      client.end(true)
    },
  }
}

/** Kills without warning, as the kernel does when memory runs out. */
export async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return
  const exited = once(child, 'exit')
  child.kill('SIGKILL')
  await exited
}
