/**
 * Who may do what over MQTT. A node comes with its own user name and password, publishes under its own topics and
 * hears its own settings, nothing else. A script comes as `Bearer` with an API token for its password.
 */
import type { DoorBook } from './door-book.js'
import type { RefusedLogins } from './port.js'
import { digestOf, isSameDigest } from './secrets.js'

/** The topics of a node, and what the topic of a publish names. */
export interface NodeTopics {
  readings(garden: string, node: string): string
  presence(garden: string, node: string): string
  settings(garden: string, node: string): string
}

export interface MqttLogin {
  readonly clientId: string
  readonly username: string | null
  readonly password: Uint8Array | null
}

export interface MqttRights {
  /** takes the place of the id that the client gave itself: nobody gets at another's session by its name */
  readonly clientId: string
  mayPublish(topic: string): boolean
  maySubscribe(filter: string): boolean
  mayHear(topic: string): boolean
  /** Has what let it in been taken back? */
  isRevoked(): boolean
}

export interface MqttLogins {
  /** null: turned away */
  mqttLogin(login: MqttLogin): MqttRights | null
  refusedLogins(garden: string, node: string): RefusedLogins
}

/** No node's name: ids have small letters only. */
export const TOKEN_USER = 'Bearer'
/** A user name without a garden means the garden that a new hub has. */
const FIRST_GARDEN = 'home'
/** compared with when there is no such node, so that the answer takes as long */
const NOBODY = digestOf('')
/** of a stranger's user name, what is kept to be shown */
const MOST_NAME_CHARACTERS = 80

/** @param now UTC ms */
export function mqttLogins(book: DoorBook, topics: NodeTopics, now: () => number): MqttLogins {
  // told to the owner who waits for a node's first word; one entry a credential, so no stranger can fill it
  const wrong = new Map<string, { digest: string; total: number; latestMs: number }>()
  let unknownUser: RefusedLogins['unknownUser'] = null
  const refuseUnknown = (username: string): null => {
    unknownUser = { username: username.slice(0, MOST_NAME_CHARACTERS), latestMs: now() }
    return null
  }

  function nodeRights(garden: string, node: string, digest: string): MqttRights {
    const key = `${garden}/${node}`
    const isRevoked = (): boolean => book.credentialByNode.get(key)?.digest !== digest
    const own = [topics.readings(garden, node), topics.presence(garden, node)]
    const settings = topics.settings(garden, node)
    return {
      // one session a credential: a node that connects anew takes the place of what it left behind
      clientId: key,
      mayPublish: (topic) => own.includes(topic) && !isRevoked(),
      maySubscribe: (filter) => filter === settings && !isRevoked(),
      mayHear: (topic) => topic === settings && !isRevoked(),
      isRevoked,
    }
  }

  return {
    mqttLogin({ clientId, username, password }) {
      if (username === null) return refuseUnknown('')
      // nobody has an empty one
      const digest = digestOf(password ?? '')
      if (username === TOKEN_USER) {
        const token = book.tokenByDigest.get(digest)
        if (token === undefined) return null
        const isRevoked = (): boolean => !book.tokenIds.has(token.id)
        return {
          clientId: `${TOKEN_USER}/${token.id}/${clientId}`,
          mayPublish: () => token.scope === 'write' && !isRevoked(),
          maySubscribe: () => !isRevoked(),
          mayHear: () => !isRevoked(),
          isRevoked,
        }
      }
      const key = username.includes('/') ? username : `${FIRST_GARDEN}/${username}`
      const known = book.credentialByNode.get(key)
      const isRight = isSameDigest(digest, known?.digest ?? NOBODY)
      if (known === undefined) return refuseUnknown(username)
      if (!isRight) {
        const before = wrong.get(key)
        // what tried an earlier password says nothing of the present one
        const total = before?.digest === known.digest ? before.total + 1 : 1
        wrong.set(key, { digest: known.digest, total, latestMs: now() })
        return null
      }
      wrong.delete(key)
      return nodeRights(known.garden, known.node, known.digest)
    },

    refusedLogins(garden, node) {
      const key = `${garden}/${node}`
      const attempts = wrong.get(key)
      const isCurrent = attempts !== undefined && attempts.digest === book.credentialByNode.get(key)?.digest
      const wrongPassword = isCurrent ? { total: attempts.total, latestMs: attempts.latestMs } : null
      return { wrongPassword, unknownUser }
    },
  }
}
