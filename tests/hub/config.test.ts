import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import { Config, ConfigError, envName, loadConfig } from '../../hub/config.js'

const folder = mkdtempSync(join(tmpdir(), 'hearting-config-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

let files = 0
const fileWith = (content: string): string => {
  const path = join(folder, `${files++}.json`)
  writeFileSync(path, content)
  return path
}
const messageOf = (load: () => unknown): string => {
  try {
    load()
  } catch (error) {
    if (error instanceof ConfigError) return error.message
    throw error
  }
  throw new Error('nothing was thrown')
}

describe('settings', () => {
  it('opens nothing to the network unless told to', () => {
    const config = loadConfig({}, fileWith('{}'))
    expect(config).toMatchObject({
      httpHost: '127.0.0.1',
      httpPort: 8080,
      mqttHost: '127.0.0.1',
      mqttPort: 1883,
    })
  })

  it('come from the file, and the environment wins', () => {
    const file = fileWith('{"httpPort": 9000, "mqttPort": 9001}')
    const config = loadConfig({ HEARTING_HTTP_PORT: '9002', PATH: '/bin' }, file)
    expect(config.httpPort).toBe(9002)
    expect(config.mqttPort).toBe(9001)
  })

  it('every key has one environment variable of its own', () => {
    const names = Object.keys(Config.shape).map(envName)
    expect(new Set(names).size).toBe(names.length)
    expect(names).toContain('HEARTING_MQTT_TOPIC_PREFIX')
  })

  it('an empty variable counts as not set', () => {
    expect(loadConfig({ HEARTING_HTTP_PORT: '' }, fileWith('{}')).httpPort).toBe(8080)
  })

  it.each([
    ['HEARTING_HTTP_PORT', 'eighty'],
    ['HEARTING_HTTP_PORT', '0x50'],
    ['HEARTING_HTTP_PORT', '70000'],
    ['HEARTING_MQTT_PORT', '-1'],
    ['HEARTING_HORIZON_DAYS', '1.5'],
    ['HEARTING_LOG_LEVEL', 'loud'],
    ['HEARTING_MQTT_TOPIC_PREFIX', 'a/#'],
    ['HEARTING_MQTT_TOPIC_PREFIX', '/a'],
  ])('refuses %s=%s and names it', (name, value) => {
    expect(messageOf(() => loadConfig({ [name]: value }, fileWith('{}')))).toMatch(new RegExp(`^${name}: .+`))
  })

  it('names a misspelt variable and lists the known ones', () => {
    const message = messageOf(() => loadConfig({ HEARTING_HTP_PORT: '1' }, fileWith('{}')))
    expect(message).toContain('HEARTING_HTP_PORT')
    expect(message).toContain('HEARTING_HTTP_PORT')
  })

  it('names a misspelt key of the file', () => {
    const file = fileWith('{"htpPort": 1}')
    expect(messageOf(() => loadConfig({}, file))).toContain(`htpPort in ${file}`)
  })

  it('names every fault at once', () => {
    const message = messageOf(() =>
      loadConfig({ HEARTING_HTTP_PORT: 'x', HEARTING_LOG_LEVEL: 'y' }, fileWith('{"mqttPort": "z"}')),
    )
    expect(message.split('\n')).toHaveLength(3)
  })

  it('says which file it cannot read, and why', () => {
    expect(messageOf(() => loadConfig({}, join(folder, 'absent.json')))).toContain('absent.json')
    expect(messageOf(() => loadConfig({ HEARTING_CONFIG: join(folder, 'gone.json') }))).toContain('gone.json')
    expect(messageOf(() => loadConfig({}, fileWith('{port: 1}')))).toContain('not JSON')
    expect(messageOf(() => loadConfig({}, fileWith('[1]')))).toContain('one object')
    expect(messageOf(() => loadConfig({}, folder))).toContain(folder)
  })
})
