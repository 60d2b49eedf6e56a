/** Who the hub takes this browser for. Asked first of all; asked again whenever the hub says it does not know us. */
import { computed } from '@preact/signals'
import type { Access } from '../../../shared/api/access.js'
import { get, onUnknown } from '../api/client.js'
import { resource } from './resource.js'

export const access = resource<Access>((signal) => get('/access', signal))

/** May this browser change things? A read-only link may only look: then no form is shown that the hub would refuse. */
export const mayChange = computed(() => {
  const value = access.state.value.value
  return value === null || value.visitor === 'owner'
})

/** Is there anything to sign in to? A demo has no doors. */
export const hasDoors = computed(() => (access.state.value.value?.door ?? 'open') !== 'open')

/** The hub knows this browser, or wants to know nobody. */
export const isLetIn = computed(() => {
  const value = access.state.value.value
  return value !== null && value.visitor !== null
})

onUnknown(() => {
  // only a change of heart is news: while the sign-in page is shown, the hub says so at every call
  if (isLetIn.peek()) void access.reload()
})
