/** Certificate and key for TLS, read from the files that the settings name. */
import { readFileSync } from 'node:fs'
import { createSecureContext } from 'node:tls'
import { ConfigError, envName } from './config.js'

export interface TlsFiles {
  readonly cert: Buffer
  readonly key: Buffer
}

/**
 * @param part  whose settings they are
 * @returns     null where neither file is named: no TLS
 * @throws ConfigError  one is named without the other, cannot be read, or the two do not belong together
 */
export function readTlsFiles(part: 'http' | 'mqtt', certFile: string, keyFile: string): TlsFiles | null {
  const certName = envName(`${part}TlsCertFile`)
  const keyName = envName(`${part}TlsKeyFile`)
  if (certFile === '' && keyFile === '') return null
  if (certFile === '' || keyFile === '') {
    throw new ConfigError(
      `${certFile === '' ? certName : keyName}: certificate and key go together, name both`,
    )
  }
  const files = { cert: read(certName, certFile), key: read(keyName, keyFile) }
  try {
    createSecureContext(files)
  } catch (cause) {
    throw new ConfigError(
      `${certName}, ${keyName}: not a certificate and its key in PEM form (${(cause as Error).message})`,
      { cause },
    )
  }
  return files
}

function read(name: string, path: string): Buffer {
  try {
    return readFileSync(path)
  } catch (cause) {
    throw new ConfigError(`${name}: ${path} cannot be read (${(cause as Error).message})`, { cause })
  }
}
