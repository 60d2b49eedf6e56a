/** A running hub asked over HTTP by a command on the same machine: what it exports, and readings for it to take in. */

import { ImportReport } from '../../shared/api/export.js'
import { Problem } from '../../shared/api/garden.js'
import type { Config } from '../config.js'
import type { ExportFile } from '../keep/export-folder.js'
import { KeepError } from '../keep/port.js'

export interface RunningHub {
  read(garden: string, file: ExportFile): AsyncGenerator<Uint8Array, void>
  /** one part of a table of readings */
  send(garden: string, node: string, csv: string): Promise<ImportReport>
}

const PATHS: Readonly<Record<ExportFile, string>> = {
  'garden.json': 'export.json',
  'readings.csv': 'export.csv?what=readings',
  'days.csv': 'export.csv?what=days',
}

/** @param url  the hub's page; undefined: on this machine, at the port of the settings */
export function runningHub(config: Config, url: string | undefined): RunningHub {
  const scheme = config.httpTlsCertFile === '' ? 'http' : 'https'
  const base = (url ?? `${scheme}://127.0.0.1:${config.httpPort}`).replace(/\/$/, '')
  // in the environment: the arguments of a program are seen by everybody on its machine
  const token = process.env.HEARTING_TOKEN
  const headers: Record<string, string> = token ? { authorization: `Bearer ${token}` } : {}

  const ask = async (path: string, scope: 'read' | 'write', init: RequestInit = {}): Promise<Response> => {
    let response: Response
    try {
      response = await fetch(`${base}/api/v1/${path}`, {
        ...init,
        headers: { ...headers, ...init.headers },
      })
    } catch (cause) {
      throw new KeepError(
        `A hub runs on this data folder, but nothing answers at ${base}${reasonIn(cause)}. Give the address of its page with --http.`,
        [],
        { cause },
      )
    }
    if (response.ok) return response
    const problem = Problem.safeParse(await response.json().catch(() => null))
    const why = problem.success ? problem.data.detail : `status ${response.status}`
    const remedy =
      response.status === 401 || response.status === 403
        ? ` A hub runs on this data folder: make a token with \`hearting token add NAME --scope ${scope}\` and give it in HEARTING_TOKEN, or stop the hub.`
        : ''
    throw new KeepError(`The hub at ${base} says: ${why}.${remedy}`)
  }

  return {
    async *read(garden, file) {
      const { body } = await ask(`gardens/${garden}/${PATHS[file]}`, 'read')
      if (body === null) return
      try {
        for await (const some of body) yield some
      } catch (cause) {
        throw new KeepError(`The hub broke off while it sent ${file}: see its log.`, [], { cause })
      }
    },
    async send(garden, node, csv) {
      const response = await ask(`gardens/${garden}/readings-import?node=${node}`, 'write', {
        method: 'POST',
        headers: { 'content-type': 'text/csv' },
        body: csv,
      })
      return ImportReport.parse(await response.json())
    },
  }
}

/** Refused, another name in its certificate, …: fetch keeps it one level down. */
const reasonIn = (error: unknown): string =>
  error instanceof Error && error.cause instanceof Error ? ` (${error.cause.message})` : ''
