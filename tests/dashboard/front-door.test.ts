import { describe, expect, it } from 'vitest'
import { angleIn, pairIn } from '../../dashboard/src/front-door/coordinates.js'
import { publishLine, settingRows } from '../../dashboard/src/front-door/node-settings.js'
import { firstOpen, isDone, neighbours, STEPS } from '../../dashboard/src/front-door/steps.js'
import type { NodeConnection } from '../../shared/api/access.js'

describe('a latitude or longitude', () => {
  it.each([
    ['55.68', 55.68],
    ['55,68', 55.68],
    [' 55.68 ', 55.68],
    ['55.68 N', 55.68],
    ['N 55.68', 55.68],
    ['55.68°N', 55.68],
    ['55°41′N', 55.68333],
    ["55°41'N", 55.68333],
    ['55°41’ N', 55.68333],
    ['55 41 N', 55.68333],
    ['55°40′34″N', 55.67611],
    ['55º40\'34"N', 55.67611],
    ["55°40'34''N", 55.67611],
    ['55°40.5′', 55.675],
    ['-33.9', -33.9],
    ['\u221233,9', -33.9],
    ['33.9s', -33.9],
    ['33°54′S', -33.9],
    ['0', 0],
    ['90', 90],
    ['-90', -90],
  ])('reads the latitude %s', (text, deg) => {
    expect(angleIn(text, 'latitude')).toEqual({ deg })
  })

  it.each([
    ['12.57', 12.57],
    ['12°34′E', 12.56667],
    ['74.01 W', -74.01],
    ['W 74 0 36', -74.01],
    ['180', 180],
    ['-180', -180],
  ])('reads the longitude %s', (text, deg) => {
    expect(angleIn(text, 'longitude')).toEqual({ deg })
  })

  it.each([
    ['', 'latitude', /write degrees, e\.g\. 55\.68/],
    ['north', 'latitude', /write degrees/],
    ['55.68.2', 'latitude', /write degrees/],
    ['5e1', 'latitude', /write degrees/],
    ['91', 'latitude', /from −90 to 90/],
    ['181', 'longitude', /from −180 to 180/],
    ['12.5 E', 'latitude', /this is the latitude.*N or S/],
    ['12.5 N', 'longitude', /this is the longitude.*E or W/],
    // east in some languages, west in others
    ['12.5 O', 'longitude', /E or W/],
    ['-33 S', 'latitude', /either a sign or a letter/],
    ['55°61′N', 'latitude', /up to 59/],
  ] as const)('says of %s as %s what to write', (text, axis, words) => {
    const answer = angleIn(text, axis)
    expect('problem' in answer ? answer.problem : '').toMatch(words)
  })

  it.each([
    ['55.68, 12.57', '55.68', '12.57'],
    ['55.68,12.57', '55.68', '12.57'],
    ['55.68 12.57', '55.68', '12.57'],
    ['-33.87; 151.21', '-33.87', '151.21'],
    ['55°41′N 12°34′E', '55°41′N', '12°34′E'],
    ['40.71 N, 74.01 W', '40.71 N', '74.01 W'],
    ['55,68 12,57', '55,68', '12,57'],
    ['55,68; 12,57', '55,68', '12,57'],
  ])('takes both out of %s', (text, latitude, longitude) => {
    expect(pairIn(text)).toEqual({ latitude, longitude })
  })

  it.each(['55.68', '55,68', '55°41′N', '55 41', '55 41 12', 'here', '91.5, 12.5', ''])(
    'takes %s for one at most',
    (text) => {
      expect(pairIn(text)).toBeNull()
    },
  )
})

describe('the steps of the beginning', () => {
  const nothing = { hasGarden: false, beds: 0, plantings: 0, nodes: 0, nodesHeard: 0 }

  it('go on where something is still to be told', () => {
    expect(firstOpen(nothing)).toBe('place')
    expect(firstOpen({ ...nothing, hasGarden: true })).toBe('bed')
    expect(firstOpen({ ...nothing, hasGarden: true, beds: 2 })).toBe('crop')
    expect(firstOpen({ ...nothing, hasGarden: true, beds: 1, plantings: 1 })).toBe('node')
    expect(firstOpen({ ...nothing, hasGarden: true, beds: 1, plantings: 1, nodes: 1 })).toBe('reading')
    const all = { hasGarden: true, beds: 1, plantings: 1, nodes: 1, nodesHeard: 1 }
    expect(firstOpen(all)).toBeNull()
    expect(STEPS.every((step) => isDone(step, all))).toBe(true)
  })

  it('lie one behind the other', () => {
    expect(neighbours('place')).toEqual({ before: null, after: 'bed' })
    expect(neighbours('node')).toEqual({ before: 'crop', after: 'reading' })
    expect(neighbours('reading').after).toBeNull()
  })
})

describe('what is typed into a node', () => {
  const own: NodeConnection = {
    node: 'wren',
    host: null,
    mqttPort: 1883,
    isTls: false,
    isReachable: true,
    readingsTopic: 'gardens/home/nodes/wren/readings',
    password: 'own',
    passwordMadeAt: null,
    wrongPasswords: null,
    unknownUser: null,
  }
  const login = { username: 'home/wren', password: 'abc-def' }

  it('is host, port, login and topic', () => {
    expect(settingRows(own, login, 'hub.lan', 'home')).toEqual([
      ['host', 'hub.lan'],
      ['port', '1883'],
      ['user name', 'home/wren'],
      ['password', 'abc-def'],
      ['topic', 'gardens/home/nodes/wren/readings'],
      ['quality of service', '1'],
    ])
  })

  it('leaves the password out where this page was never told it, or the hub wants none', () => {
    expect(settingRows(own, null, 'hub.lan', 'home').map(([name]) => name)).not.toContain('password')
    const open = settingRows({ ...own, password: 'none' }, null, 'hub.lan', 'home').map(([name]) => name)
    expect(open).toEqual(['host', 'port', 'topic', 'quality of service'])
  })

  it('makes a line for a shell', () => {
    expect(publishLine(own, login, 'hub.lan', 'home')).toBe(
      "mosquitto_pub -h hub.lan -p 1883 -u home/wren -P abc-def -q 1 -t gardens/home/nodes/wren/readings \\\n  -m '" +
        '[{"n":"air-temp","u":"Cel","v":17.4},{"n":"soil-temp","u":"Cel","v":14.9},{"n":"light","u":"lx","v":38100}]' +
        "'",
    )
    expect(publishLine({ ...own, isTls: true, mqttPort: 8883 }, null, 'h', 'home')).toContain(
      '-p 8883 --cafile AUTHORITY.pem -u home/wren -P PASSWORD',
    )
    const elsewhere = { ...own, host: 'broker.lan', password: 'elsewhere' as const }
    expect(publishLine(elsewhere, null, 'h', 'home')).toContain('-h broker.lan -p 1883 -u USER -P PASSWORD')
    expect(publishLine({ ...own, password: 'none' }, null, '[::1]', 'home')).toContain('-h ::1 -p 1883 -q 1')
  })
})
