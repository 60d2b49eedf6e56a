/** Passwords of nodes that the hub has told this page: each once. They are kept while the page is open, and nowhere else. */
import { signal } from '@preact/signals'
import type { NewNodeCredential } from '../../../shared/api/access.js'
import type { Login } from './node-settings.js'

export const toldLogins = signal<ReadonlyMap<string, Login>>(new Map())

export function keepLogin({ node, username, password }: NewNodeCredential): void {
  toldLogins.value = new Map(toldLogins.peek()).set(node, { username, password })
}
