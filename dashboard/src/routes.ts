/** The pages and their addresses. Plain links work: a click inside the page is caught and shown without a reload. */
import { signal } from '@preact/signals'
import { STEPS, type Step } from './front-door/steps.js'

export type Page =
  | { readonly name: 'today' }
  | { readonly name: 'bed'; readonly bed: string }
  | { readonly name: 'bed-sun'; readonly bed: string }
  | { readonly name: 'planting'; readonly planting: string }
  | { readonly name: 'to-do' }
  | { readonly name: 'journal' }
  | { readonly name: 'plan' }
  | { readonly name: 'space' }
  | { readonly name: 'review' }
  | { readonly name: 'nodes' }
  | { readonly name: 'garden' }
  /** step null: where the beginner left off */
  | { readonly name: 'begin'; readonly step: Step | null }
  | { readonly name: 'look' }
  | { readonly name: 'missing' }

export function pageOf(pathname: string): Page {
  const parts = pathname.split('/').filter((part) => part !== '')
  if (parts.length === 0) return { name: 'today' }
  const [section, bed, part] = parts
  if (section === 'beds' && bed !== undefined && parts.length <= 3) {
    if (part === undefined) return { name: 'bed', bed: decodeURIComponent(bed) }
    if (part === 'sun') return { name: 'bed-sun', bed: decodeURIComponent(bed) }
  }
  if (section === 'plantings' && bed !== undefined && parts.length === 2)
    return { name: 'planting', planting: decodeURIComponent(bed) }
  if (parts.length === 2 && section === 'plan' && bed === 'space') return { name: 'space' }
  if (parts.length === 1 && section === 'to-do') return { name: 'to-do' }
  if (parts.length === 1 && section === 'journal') return { name: 'journal' }
  if (parts.length === 1 && section === 'plan') return { name: 'plan' }
  if (parts.length === 1 && section === 'review') return { name: 'review' }
  if (parts.length === 1 && parts[0] === 'nodes') return { name: 'nodes' }
  if (parts.length === 1 && parts[0] === 'garden') return { name: 'garden' }
  if (section === 'begin' && parts.length === 1) return { name: 'begin', step: null }
  const step = STEPS.find((known) => known === bed)
  if (section === 'begin' && parts.length === 2 && step !== undefined) return { name: 'begin', step }
  if (parts.length === 1 && section === 'look') return { name: 'look' }
  return { name: 'missing' }
}

export const bedPath = (bed: string): string => `/beds/${encodeURIComponent(bed)}`

export const bedSunPath = (bed: string): string => `${bedPath(bed)}/sun`

export const plantingPath = (planting: string): string => `/plantings/${encodeURIComponent(planting)}`

export const page = signal<Page>(pageOf(location.pathname))
/** Counts moves between pages: the heading takes the focus after each, so that a screen reader hears where it is. */
export const moves = signal(0)

function show(): void {
  page.value = pageOf(location.pathname)
  moves.value++
}

/** Goes to another page of this almanac. */
export function go(path: string): void {
  history.pushState(null, '', path)
  show()
  scrollTo(0, 0)
}

/** The same page under its proper address: no move, nothing to go back to. */
export function replaceAddress(path: string): void {
  history.replaceState(null, '', path)
  page.value = pageOf(location.pathname)
}

function onClick(event: MouseEvent): void {
  if (event.defaultPrevented || event.button !== 0) return
  if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return
  const link = event.target instanceof Element ? event.target.closest('a') : null
  if (link === null || link.origin !== location.origin || link.target !== '') return
  if (link.hash !== '' && link.pathname === location.pathname) return
  if (link.pathname.startsWith('/api/')) return
  event.preventDefault()
  go(link.pathname + link.search)
}

export function startRouting(): void {
  addEventListener('popstate', show)
  document.addEventListener('click', onClick)
}
