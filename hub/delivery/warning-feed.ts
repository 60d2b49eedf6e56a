/** A garden's warnings as an Atom feed (RFC 4287). Pure. */
import { create } from 'xmlbuilder2'
import type { Garden } from '../../shared/api/garden.js'
import { isoWithOffset } from '../../shared/local-time.js'
import { KIND_WORDS } from '../../shared/warning-kind-words.js'
import type { StoredWarning } from '../garden/port.js'
import { literal } from './xml-text.js'

const ATOM_NAMESPACE = 'http://www.w3.org/2005/Atom'

export interface FeedSubject {
  readonly garden: Garden
  readonly gardenUuid: string
  /** when the garden got its UUID: the feed's time before the first warning */
  readonly sinceMs: number
  readonly warnings: readonly StoredWarning[]
  readonly bedNames: ReadonlyMap<string, string>
  /** where the hub was reached, e.g. http://garden.lan:8080; links lead there */
  readonly hubUrl: string
}

/** The feed, latest change first. An entry is a warning; it keeps its id while it is updated and cleared. */
export function warningFeed(subject: FeedSubject): string {
  const { garden, hubUrl } = subject
  const api = `${hubUrl}/api/v1/gardens/${garden.id}`
  const time = (timeMs: number): string => isoWithOffset(timeMs, garden.timeZone)
  const warnings = [...subject.warnings].sort((a, b) => b.updatedAtMs - a.updatedAtMs)

  const feed = create({
    version: '1.0',
    encoding: 'UTF-8',
    invalidCharReplacement: '\uFFFD',
    defaultNamespace: { ele: ATOM_NAMESPACE },
  }).ele('feed')
  feed.ele('id').txt(`urn:uuid:${subject.gardenUuid}`)
  feed.ele('title').txt(literal(`Warnings, ${garden.name}`))
  feed.ele('updated').txt(time(warnings[0]?.updatedAtMs ?? subject.sinceMs))
  feed.ele('author').ele('name').txt('hearting')
  feed.ele('generator').txt('hearting')
  feed.ele('link', { rel: 'self', type: 'application/atom+xml', href: `${api}/warnings.atom` })
  feed.ele('link', { rel: 'alternate', type: 'text/html', href: `${hubUrl}/` })

  for (const warning of warnings) {
    const entry = feed.ele('entry')
    const isOver = warning.clearedAtMs !== null
    entry.ele('id').txt(`urn:uuid:${warning.id}`)
    entry.ele('title').txt(literal(isOver ? `Over: ${warning.headline}` : warning.headline))
    entry.ele('published').txt(time(warning.raisedAtMs))
    entry.ele('updated').txt(time(warning.updatedAtMs))
    entry.ele('category', { term: warning.kind, label: KIND_WORDS[warning.kind] })
    entry.ele('category', { term: warning.severity, scheme: 'urn:oasis:names:tc:emergency:cap:1.2' })
    const page = warning.bed === null ? `${hubUrl}/` : `${hubUrl}/beds/${warning.bed}`
    entry.ele('link', { rel: 'alternate', type: 'text/html', href: page })
    entry.ele('link', {
      rel: 'related',
      type: 'application/cap+xml',
      href: `${api}/warnings/${warning.id}/cap.xml`,
    })
    const bed = warning.bed === null ? null : (subject.bedNames.get(warning.bed) ?? warning.bed)
    const paragraphs = [bed === null ? null : `In ${bed}.`, warning.why, warning.advice]
    entry
      .ele('content', { type: 'text' })
      .txt(literal(paragraphs.filter((text) => text !== null).join('\n\n')))
  }
  return feed.end({ prettyPrint: true })
}
