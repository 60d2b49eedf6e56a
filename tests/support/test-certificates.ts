/** Certificates made by openssl for one test run: an authority, and a server's for 127.0.0.1. */
import { execFileSync } from 'node:child_process'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { isInstalled } from './server-process.js'

export const hasOpenssl = isInstalled('openssl')

export interface TestCertificates {
  readonly ca: string
  readonly cert: string
  readonly key: string
}

export async function makeCertificates(): Promise<TestCertificates> {
  const dir = await mkdtemp(join(tmpdir(), 'hearting-certs-'))
  const at = (name: string): string => join(dir, name)
  const openssl = (...args: string[]): void => {
    execFileSync('openssl', args, { stdio: 'ignore' })
  }
  try {
    const newKey = ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes']
    openssl(
      'req',
      '-x509',
      ...newKey,
      '-keyout',
      at('ca.key'),
      '-out',
      at('ca.pem'),
      '-days',
      '2',
      '-subj',
      '/CN=Authority for tests only',
    )
    openssl('req', ...newKey, '-keyout', at('key.pem'), '-out', at('csr.pem'), '-subj', '/CN=127.0.0.1')
    await writeFile(at('ext'), 'subjectAltName=IP:127.0.0.1\n')
    openssl(
      'x509',
      '-req',
      '-in',
      at('csr.pem'),
      '-CA',
      at('ca.pem'),
      '-CAkey',
      at('ca.key'),
      '-CAcreateserial',
      '-days',
      '2',
      '-extfile',
      at('ext'),
      '-out',
      at('cert.pem'),
    )
    const [ca, cert, key] = await Promise.all(
      ['ca.pem', 'cert.pem', 'key.pem'].map((name) => readFile(at(name), 'utf8')),
    )
    return { ca: ca!, cert: cert!, key: key! }
  } finally {
    await rm(dir, { recursive: true })
  }
}
