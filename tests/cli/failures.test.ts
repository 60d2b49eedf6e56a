import { expect, it } from 'vitest'
import { explain } from '../../hub/cli/failures.js'

/** as the system says it */
const failure = (code: string, more: object): Error =>
  Object.assign(new Error(`${code}: as the system says it`), { code, ...more })

it('says of a file that may not be read or written which one, and speaks of no port', () => {
  const words = explain(failure('EACCES', { path: '/backups/hub.tar', syscall: 'open' }))
  expect(words).toMatch(/\/backups\/hub\.tar/)
  expect(words).not.toMatch(/port/)
  expect(explain(failure('EACCES', { port: 80, address: '0.0.0.0' }))).toMatch(/port 80/)
})

it('says of a full disk that it is full', () => {
  for (const code of ['ENOSPC', 'SQLITE_FULL'])
    expect(explain(failure(code, {}))).toMatch(/^The disk is full/)
})

it('shows a stack of what nobody foresaw only', () => {
  expect(explain(new Error('what is this'))).toMatch(/at .*failures\.test/)
  expect(explain(failure('EROFS', { path: '/backups' }))).not.toMatch(/\n\s+at /)
})
