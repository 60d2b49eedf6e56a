/**
 * Real servers for tests: started on a free port of this machine with a folder and a configuration of their own,
 * as a user without rights where we are root, and stopped at the end. A machine without the program skips what
 * needs it, with a plain message; with HEARTING_REQUIRE_ALL=1 a missing program is a failure.
 */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { once } from 'node:events'
import { chmod, chown, mkdtemp, readdir, rm } from 'node:fs/promises'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** Debian's nobody: what the servers run as when the tests run as root. */
const NOBODY = 65_534
const isRoot = process.getuid?.() === 0

/** Daemons live where a plain user's PATH may not look. */
const PATH = `${process.env.PATH ?? ''}:/usr/sbin:/usr/local/sbin`

export function isInstalled(program: string): boolean {
  const found =
    spawnSync('sh', ['-c', `command -v ${program}`], { env: { ...process.env, PATH } }).status === 0
  if (!found && process.env.HEARTING_REQUIRE_ALL === '1')
    throw new Error(`${program} is not installed, and HEARTING_REQUIRE_ALL=1 lets nothing be skipped`)
  return found
}

/** Title suffix that says why a suite is skipped. */
export const skipNote = (program: string, found: boolean): string =>
  found ? '' : ` (skipped: ${program} is not installed)`

/** A port that was free a moment ago; nobody else is known to want it. */
export async function freePort(): Promise<number> {
  const server = createServer()
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const address = server.address()
  server.close()
  await once(server, 'close')
  if (typeof address !== 'object' || address === null) throw new Error('no port was given')
  return address.port
}

/** A folder that the server may write to. */
export async function serverFolder(name: string): Promise<string> {
  const dir = await mkdtemp(join(tmpdir(), `hearting-${name}-`))
  await chmod(dir, 0o755)
  await handOver(dir)
  return dir
}

/** Gives a file or folder to the user that the server runs as. */
export async function handOver(path: string): Promise<void> {
  if (isRoot) await chown(path, NOBODY, NOBODY)
}

export async function removeFolder(dir: string): Promise<void> {
  await rm(dir, { recursive: true, force: true, maxRetries: 5, retryDelay: 50 })
}

export interface ServerProcess {
  readonly child: ChildProcess
  end(signal: NodeJS.Signals): Promise<void>
}

/**
 * Starts a program and waits until `isUp` says so.
 *
 * @throws Error  with what the program printed, when it ends before that or takes longer than 20 s
 */
export async function startServer(
  program: string,
  args: readonly string[],
  isUp: () => Promise<boolean>,
): Promise<ServerProcess> {
  const child = spawn(program, args, {
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, PATH, HOME: tmpdir() },
    ...(isRoot ? { uid: NOBODY, gid: NOBODY } : {}),
  })
  let said = ''
  for (const stream of [child.stdout, child.stderr])
    stream.on('data', (chunk: Buffer) => {
      said = (said + chunk.toString()).slice(-4_000)
    })
  const ended = once(child, 'exit').then(() => true)
  ended.catch(() => {})
  const running: ServerProcess = {
    child,
    async end(signal) {
      if (child.exitCode !== null || child.signalCode !== null) return
      const exited = once(child, 'exit')
      child.kill(signal)
      await exited
    },
  }
  const giveUpAt = performance.now() + 20_000
  for (;;) {
    if (child.exitCode !== null || child.signalCode !== null)
      throw new Error(`${program} ended at once:\n${said}`)
    if (await isUp()) return running
    if (performance.now() > giveUpAt) {
      await running.end('SIGKILL')
      throw new Error(`${program} was not up after 20 s:\n${said}`)
    }
    await new Promise((resolve) => setTimeout(resolve, 20))
  }
}

/** Bytes on disk of all files below a folder: holes in files take no room. */
export async function folderBytes(dir: string): Promise<number> {
  const { stat } = await import('node:fs/promises')
  let bytes = 0
  for (const entry of await readdir(dir, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue
    // a file may go while we count
    bytes += await stat(join(entry.parentPath, entry.name)).then(
      (found) => found.blocks * 512,
      () => 0,
    )
  }
  return bytes
}
