import pino from 'pino'
import { expect, it } from 'vitest'
import { logOptions } from '../../hub/cli/hub-log.js'

it('a secret that is logged by mistake is left out, however deep it lies', () => {
  let text = ''
  const log = pino(logOptions('trace'), {
    write(line: string) {
      text += line
    },
  })
  log.info({ password: 'hush' }, 'a login')
  log.info({ login: { username: 'home/wren', password: 'hush' } }, 'a login')
  log.info(
    { request: { headers: { authorization: 'Bearer hush', cookie: 'hearting-session=hush' } } },
    'a request',
  )
  log.info({ request: { body: { passphrase: 'hush', newPassphrase: 'hush' } } }, 'a request')
  log.info({ err: { config: { link: { secret: 'hush' } } } }, 'a failure')
  expect(text).not.toContain('hush')
  expect(text).toContain('home/wren')
  expect(text.match(/\[secret\]/g)).toHaveLength(7)
})
