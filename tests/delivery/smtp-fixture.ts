/** A real SMTP server on a free port of this machine, and the mails that it took, taken apart. */
import { readFileSync } from 'node:fs'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import { type ParsedMail, simpleParser } from 'mailparser'
import { SMTPServer, type SMTPServerOptions } from 'smtp-server'

/** made for these tests and trusted nowhere else */
const fixture = (name: string): string =>
  readFileSync(join(import.meta.dirname, 'fixtures', `test-only-${name}.pem`), 'utf8')
export const TEST_CA = fixture('cert')

export interface SmtpFixture {
  readonly port: number
  readonly mails: (ParsedMail & { readonly recipients: readonly string[]; readonly wasEncrypted: boolean })[]
  /** connections so far */
  connections(): number
  close(): Promise<void>
}

interface Behaviour {
  readonly user?: string
  readonly pass?: string
  /** without: no STARTTLS on offer */
  readonly hasTls?: boolean
  readonly isSecure?: boolean
  /** an SMTP answer instead of taking it, e.g. 450 or 550; asked for each mail */
  readonly refuse?: () => { readonly code: number; readonly at: 'recipient' | 'data' } | null
  /** told of a mail; it is not answered until the promise resolves */
  readonly beforeAnswer?: () => Promise<void>
  readonly port?: number
}

export async function smtpServer(behaviour: Behaviour = {}): Promise<SmtpFixture> {
  const { user, pass, hasTls = true, refuse = () => null } = behaviour
  const mails: SmtpFixture['mails'] = []
  let connections = 0
  const answer = (at: 'recipient' | 'data'): Error | null => {
    const refusal = refuse()
    if (refusal === null || refusal.at !== at) return null
    return Object.assign(new Error('not now, or not ever'), { responseCode: refusal.code })
  }
  const options: SMTPServerOptions = {
    key: fixture('key'),
    cert: fixture('cert'),
    secure: behaviour.isSecure === true,
    disabledCommands: [...(hasTls ? [] : ['STARTTLS']), ...(user === undefined ? ['AUTH'] : [])],
    allowInsecureAuth: !hasTls,
    authOptional: user === undefined,
    logger: false,
    disableReverseLookup: true,
    onConnect(_session, done) {
      connections++
      done()
    },
    onAuth(auth, _session, done) {
      if (auth.username === user && auth.password === pass) done(null, { user: auth.username })
      // a server that tells back what it was sent, as some do
      else done(new Error(`no such login: ${auth.username} ${auth.password}`))
    },
    onRcptTo(_address, _session, done) {
      done(answer('recipient'))
    },
    onData(stream, session, done) {
      simpleParser(stream).then(
        async (mail) => {
          await behaviour.beforeAnswer?.()
          const refusal = answer('data')
          if (refusal !== null) return done(refusal)
          const recipients = session.envelope.rcptTo.map(({ address }) => address)
          mails.push(Object.assign(mail, { recipients, wasEncrypted: session.secure }))
          done()
        },
        (error: Error) => done(error),
      )
    },
  }
  const server = new SMTPServer(options)
  // clients that hang up in the middle are part of the tests
  server.on('error', () => {})
  await new Promise<void>((resolve) => {
    server.listen(behaviour.port ?? 0, '127.0.0.1', resolve)
  })
  return {
    port: (server.server.address() as AddressInfo).port,
    mails,
    connections: () => connections,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve())
      }),
  }
}
