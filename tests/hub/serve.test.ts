import { type ChildProcess, spawn } from 'node:child_process'
import { afterEach, describe, expect, it } from 'vitest'
import { newDataDir } from './hub-fixture.js'

interface Run {
  readonly child: ChildProcess
  readonly output: () => string
  /** resolves when the text has been printed */
  printed(text: string | RegExp): Promise<void>
  ended: Promise<number | null>
}

const running: Run[] = []

function hearting(args: readonly string[], env: Readonly<Record<string, string>>): Run {
  const child = spawn(process.execPath, ['--import', 'tsx', 'hub/cli/main.ts', ...args], {
    cwd: new URL('../..', import.meta.url),
    env: { PATH: process.env.PATH, ...env },
  })
  let output = ''
  const listeners = new Set<() => void>()
  for (const stream of [child.stdout, child.stderr]) {
    stream.on('data', (chunk) => {
      output += String(chunk)
      for (const listener of listeners) listener()
    })
  }
  const ended = new Promise<number | null>((resolve) => child.on('close', (code) => resolve(code)))
  const run: Run = {
    child,
    output: () => output,
    ended,
    printed: (text) =>
      new Promise((resolve, reject) => {
        const look = (): void => {
          if (typeof text === 'string' ? output.includes(text) : text.test(output)) resolve()
        }
        listeners.add(look)
        look()
        ended.then(() => reject(new Error(`ended before it printed ${text}:\n${output}`)))
      }),
  }
  running.push(run)
  return run
}

afterEach(async () => {
  for (const run of running.splice(0)) {
    run.child.kill('SIGKILL')
    await run.ended
  }
})

const FREE_PORTS = { HEARTING_HTTP_PORT: '0', HEARTING_MQTT_PORT: '0' }

/** each starts processes of its own, which a busy machine takes its time for */
const WITH_PROCESSES_MS = 120_000

describe('hearting serve', { timeout: WITH_PROCESSES_MS }, () => {
  it.each(['SIGINT', 'SIGTERM'] as const)(
    'says where it is, serves, and stops at %s with 0',
    async (signal) => {
      const folder = await newDataDir()
      const run = hearting([], { ...FREE_PORTS, HEARTING_DATA_DIR: folder.dataDir })
      await run.printed('gardens/home/nodes/<node>/readings')
      await run.printed('Only this machine can reach it')
      const page = /The page\s+(\S+)/.exec(run.output())?.[1] ?? ''
      expect((await fetch(`${page}/healthz`)).status).toBe(200)
      run.child.kill(signal)
      expect(await run.ended).toBe(0)
      expect(run.output()).toContain('Stopping')
      await folder.remove()
    },
  )

  it('shows a set-up code until there is an owner, and answers nobody else', async () => {
    const folder = await newDataDir()
    const env = { ...FREE_PORTS, HEARTING_DATA_DIR: folder.dataDir }
    const run = hearting([], env)
    await run.printed('Only this machine can reach it')
    const page = /The page\s+(\S+)/.exec(run.output())?.[1] ?? ''
    const code = /^ {4}([0-9a-z]{5}-[0-9a-z]{5})$/m.exec(run.output())?.[1] ?? ''
    expect((await fetch(`${page}/api/v1/gardens`)).status).toBe(401)
    const claimed = await fetch(`${page}/api/v1/access/set-up`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ code, passphrase: 'quince barrow thimble' }),
    })
    expect(claimed.status).toBe(204)
    run.child.kill('SIGTERM')
    await run.ended
    const again = hearting([], env)
    await again.printed('Only this machine can reach it')
    expect(again.output()).not.toContain('set-up code')
    again.child.kill('SIGTERM')
    await again.ended
    await folder.remove()
  })

  it('refuses wrong settings in words, with 1', async () => {
    const run = hearting(['serve'], { HEARTING_HTTP_PORT: 'eighty' })
    expect(await run.ended).toBe(1)
    expect(run.output()).toMatch(/HEARTING_HTTP_PORT: .*whole number/)
    expect(run.output()).not.toContain('    at ')
  })

  it('says that another hub has the folder, with 1', async () => {
    const folder = await newDataDir()
    const env = { ...FREE_PORTS, HEARTING_DATA_DIR: folder.dataDir }
    const first = hearting([], env)
    await first.printed('The hub is running')
    const second = hearting([], env)
    expect(await second.ended).toBe(1)
    expect(second.output()).toContain('already running')
    first.child.kill('SIGTERM')
    await first.ended
    await folder.remove()
  })

  it('says which port is taken and what to do', async () => {
    const folder = await newDataDir()
    const other = await newDataDir()
    const first = hearting([], { ...FREE_PORTS, HEARTING_DATA_DIR: folder.dataDir })
    await first.printed('The hub is running')
    const taken = /mqtt:\/\/127\.0\.0\.1:(\d+)/.exec(first.output())?.[1] ?? ''
    const second = hearting([], {
      HEARTING_HTTP_PORT: '0',
      HEARTING_MQTT_PORT: taken,
      HEARTING_DATA_DIR: other.dataDir,
    })
    expect(await second.ended).toBe(1)
    expect(second.output()).toContain(`Port ${taken} is taken`)
    expect(second.output()).toContain('HEARTING_MQTT_PORT')
    first.child.kill('SIGTERM')
    await first.ended
    await Promise.all([folder.remove(), other.remove()])
  })
})

describe('the command line', { timeout: WITH_PROCESSES_MS }, () => {
  it('lists its commands and refuses others', async () => {
    const help = hearting(['--help'], {})
    expect(await help.ended).toBe(0)
    for (const command of ['serve', 'demo', 'replay'])
      expect(help.output()).toMatch(new RegExp(`^  ${command}`, 'm'))
    const wrong = hearting(['sevre'], {})
    expect(await wrong.ended).toBe(1)
    expect(wrong.output()).toContain("no command 'sevre'")
  })

  it('knows its version', async () => {
    const run = hearting(['--version'], {})
    expect(await run.ended).toBe(0)
    expect(run.output()).toMatch(/^\d+\.\d+\.\d+\n$/)
  })
})
