/** What a node may do with its own credential, what it may not, and how fast it is over. */
import type { MqttClient } from 'mqtt'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Browser, type ClosedHub, closedHub, connectNode, letNodeIn, until } from './closed-hub.js'

const PACK = JSON.stringify([{ n: 'air-temp', u: 'Cel', v: 17.4 }])

describe('nodes at the door', () => {
  let closed: ClosedHub
  let owner: Browser
  let wren: Awaited<ReturnType<typeof letNodeIn>>
  let robin: Awaited<ReturnType<typeof letNodeIn>>
  beforeAll(async () => {
    closed = await closedHub()
    owner = await closed.owner()
    wren = await letNodeIn(closed, owner, 'wren')
    robin = await letNodeIn(closed, owner, 'robin', 'north')
  })
  afterAll(async () => {
    await wren.client.endAsync(true)
    await robin.client.endAsync(true)
    await closed.close()
  })

  const latest = async (garden: string, node: string): Promise<unknown[]> =>
    (await owner.ask('GET', `gardens/${garden}/nodes/${node}`)).body.latest ?? []
  const isSubscribed = (client: MqttClient, filter: string): Promise<boolean> =>
    client.subscribeAsync(filter, { qos: 1 }).then(
      () => true,
      () => false,
    )

  it.each([
    ['no name and no password', undefined, undefined],
    ['a name and no password', 'wren', undefined],
    ['a wrong password', 'home/wren', 'x'.repeat(32)],
    ['an empty password', 'home/wren', ''],
    ['a node that is not known', 'home/nobody', 'x'.repeat(32)],
    ['an empty name', '', ''],
    ['a name made of the prototype', '__proto__', 'x'],
    ['a token that is none', 'Bearer', 'x'.repeat(32)],
  ])('turns away %s', async (_what, username, password) => {
    await expect(connectNode(closed, username, password)).rejects.toThrow(/not authori[sz]ed|bad user/i)
  })

  it('lets a node in by its full name and, in the first garden, by its short one', async () => {
    const short = await connectNode(closed, 'wren', wren.password)
    await short.endAsync(true)
    await expect(connectNode(closed, 'robin', robin.password)).rejects.toThrow()
    wren = { ...wren, client: await connectNode(closed, 'home/wren', wren.password) }
  })

  it('stores what it publishes under its own topic', async () => {
    await wren.client.publishAsync('gardens/home/nodes/wren/readings', PACK, { qos: 1 })
    expect(await latest('home', 'wren')).toHaveLength(1)
  })

  it('stores nothing that it publishes as another node or for another garden', async () => {
    for (const topic of [
      'gardens/home/nodes/robin/readings',
      'gardens/north/nodes/robin/readings',
      'gardens/north/nodes/wren/readings',
      'gardens/home/nodes/wren/readings/more',
      'gardens/home/nodes/wren/settings',
      'gardens/home/beds/b/warnings/frost',
      'gardens/home/forecast',
      '$SYS/anything',
    ]) {
      await wren.client.publishAsync(topic, PACK, { qos: 1 })
    }
    expect(await latest('home', 'robin')).toEqual([])
    expect(await latest('north', 'robin')).toEqual([])
    expect(await latest('north', 'wren')).toEqual([])
    const refused = await owner.ask('GET', 'gardens/home/nodes/robin')
    expect(refused.body.refusals.byReason.topic).toBe(1)
  })

  it('hears its own settings and nothing else', async () => {
    expect(await isSubscribed(wren.client, 'gardens/home/nodes/wren/settings')).toBe(true)
    for (const filter of [
      '#',
      '+/#',
      'gardens/#',
      'gardens/home/nodes/+/settings',
      'gardens/home/nodes/robin/settings',
      'gardens/home/nodes/wren/readings',
      'gardens/home/beds/+/warnings/+',
      '$SYS/#',
    ]) {
      expect(await isSubscribed(wren.client, filter), filter).toBe(false)
    }
  })

  it('cannot take over the session or the last will of another by its client id', async () => {
    let isThrownOut = false
    robin.client.on('close', () => {
      isThrownOut = true
    })
    const thief = await connectNode(closed, 'home/wren', wren.password, {
      clientId: 'north/robin',
      clean: false,
      will: {
        topic: 'gardens/north/nodes/robin/presence',
        payload: Buffer.from('gone'),
        qos: 1,
        retain: true,
      },
    })
    thief.stream.destroy()
    await robin.client.publishAsync('gardens/north/nodes/robin/presence', 'awake', { qos: 1 })
    expect(isThrownOut).toBe(false)
    const { body } = await owner.ask('GET', 'gardens/north/nodes/robin')
    expect(body.presence).toBe('awake')
    wren = { ...wren, client: await connectNode(closed, 'home/wren', wren.password) }
  })

  it('is cut off at once when its credential is taken back, and stays out', async () => {
    const finch = await letNodeIn(closed, owner, 'finch')
    await finch.client.publishAsync('gardens/home/nodes/finch/readings', PACK, { qos: 1 })
    const isCut = new Promise<void>((resolve) => finch.client.once('close', () => resolve()))
    expect(await owner.status('DELETE', 'gardens/home/nodes/finch/credential')).toBe(204)
    await isCut
    await expect(connectNode(closed, finch.username, finch.password)).rejects.toThrow()
    expect(await owner.status('DELETE', 'gardens/home/nodes/finch/credential')).toBe(404)
    expect(await latest('home', 'finch')).toHaveLength(1)
  })

  it('is cut off when it gets another password, and comes in with that', async () => {
    const tit = await letNodeIn(closed, owner, 'tit')
    const isCut = new Promise<void>((resolve) => tit.client.once('close', () => resolve()))
    const again = await letNodeIn(closed, owner, 'tit')
    await isCut
    expect(again.password).not.toBe(tit.password)
    await expect(connectNode(closed, tit.username, tit.password)).rejects.toThrow()
    await again.client.endAsync(true)
  })

  it('has one connection: a second one takes the place of the first', async () => {
    const jay = await letNodeIn(closed, owner, 'jay')
    const isCut = new Promise<void>((resolve) => jay.client.once('close', () => resolve()))
    const second = await connectNode(closed, jay.username, jay.password, { clientId: 'another' })
    await isCut
    await second.publishAsync('gardens/home/nodes/jay/readings', PACK, { qos: 1 })
    await second.endAsync(true)
  })

  it('has its owner told who tried in vain: with a wrong password, with none, under a name that nobody has', async () => {
    const told = async () => (await owner.ask('GET', 'gardens/home/nodes/dove/connection')).body
    const refuse = (username: string, password?: string) =>
      expect(connectNode(closed, username, password)).rejects.toThrow()
    await owner.ask('POST', 'gardens/home/nodes/dove/credential')
    expect((await told()).wrongPasswords).toBeNull()
    await refuse('home/dove', 'wrong')
    await refuse('dove')
    await refuse('home/pigeon', 'wrong')
    expect(await told()).toMatchObject({
      password: 'own',
      wrongPasswords: { total: 2 },
      unknownUser: { username: 'home/pigeon' },
    })
    // of another password it has nothing to say yet
    const { body } = await owner.ask('POST', 'gardens/home/nodes/dove/credential')
    expect((await told()).wrongPasswords).toBeNull()
    await refuse('home/dove', 'wrong')
    expect((await told()).wrongPasswords.total).toBe(1)
    await (await connectNode(closed, 'home/dove', body.password)).endAsync(true)
    expect((await told()).wrongPasswords).toBeNull()
  })

  it('is told its password once and its topics with it', async () => {
    const { body } = await owner.ask('POST', 'gardens/home/nodes/owl/credential')
    expect(body).toMatchObject({
      username: 'home/owl',
      isTls: false,
      isReachable: false,
      readingsTopic: 'gardens/home/nodes/owl/readings',
      settingsTopic: 'gardens/home/nodes/owl/settings',
    })
    const { body: list } = await owner.ask('GET', 'gardens/home/node-credentials')
    expect(list.map((one: { node: string }) => one.node)).toContain('owl')
    expect(JSON.stringify(list)).not.toContain(body.password)
  })

  it('takes ids in an address only as ids', async () => {
    for (const node of ['..%2f..%2fowner', 'UPPER', 'a'.repeat(80), '%00', '<b>']) {
      expect(
        await owner.status('POST', `gardens/home/nodes/${encodeURIComponent(node)}/credential`),
        node,
      ).toBe(400)
    }
  })

  it('outlives many wrong logins at once', async () => {
    await Promise.all(
      Array.from({ length: 60 }, () => connectNode(closed, 'home/wren', 'wrong').catch(() => undefined)),
    )
    await until(async () => (await owner.status('GET', '/readyz')) === 200)
    await robin.client.publishAsync('gardens/north/nodes/robin/readings', PACK, { qos: 1 })
    expect(await latest('north', 'robin')).toHaveLength(1)
  })
})
