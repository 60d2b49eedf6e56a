/** The feed is read back by a general-purpose feed parser. */
import { parseAtomFeed } from 'feedsmith'
import { describe, expect, it } from 'vitest'
import { type FeedSubject, warningFeed } from '../../hub/delivery/warning-feed.js'
import { FROST, GARDEN, RAISED_MS } from './made-up-warnings.js'

const UUID = 'ec8b6a9c-6f5f-4b7c-9d8e-5a8a9a9b7c55'
const feedOf = (change: Partial<FeedSubject> = {}) =>
  parseAtomFeed(
    warningFeed({
      garden: GARDEN,
      gardenUuid: UUID,
      sinceMs: RAISED_MS - 1000,
      warnings: [FROST],
      bedNames: new Map([['quince', 'Under the quince']]),
      hubUrl: 'http://garden.lan:8080',
      ...change,
    }),
  )

describe('the Atom feed', () => {
  it('has what RFC 4287 §4.1.1 and §4.1.2 ask of feed and entry', () => {
    const feed = feedOf()
    expect(feed).toMatchObject({
      id: `urn:uuid:${UUID}`,
      title: { value: 'Warnings, Quince Court' },
      updated: '2027-05-06T04:10:00+02:00',
      authors: [{ name: 'hearting' }],
    })
    expect(feed.links).toContainEqual(
      expect.objectContaining({
        rel: 'self',
        href: 'http://garden.lan:8080/api/v1/gardens/home/warnings.atom',
      }),
    )
    expect(feed.entries).toHaveLength(1)
    expect(feed.entries?.[0]).toMatchObject({
      id: `urn:uuid:${FROST.id}`,
      title: { value: FROST.headline },
      published: '2027-05-06T04:10:00+02:00',
      updated: '2027-05-06T04:10:00+02:00',
    })
    const text = feed.entries?.[0]?.content?.value ?? ''
    for (const part of ['Under the quince', FROST.why, FROST.advice]) expect(text).toContain(part)
    expect(feed.entries?.[0]?.links).toContainEqual(
      expect.objectContaining({
        type: 'application/cap+xml',
        href: `http://garden.lan:8080/api/v1/gardens/home/warnings/${FROST.id}/cap.xml`,
      }),
    )
  })

  it('keeps an entry’s id when the warning is updated and cleared, and puts the latest change first', () => {
    const later = RAISED_MS + 60_000
    const over = { ...FROST, updatedAtMs: later, clearedAtMs: later }
    const other = { ...FROST, id: '0e3e1a0b-7f3a-4c57-9c39-0a4a1f2b8c11', updatedAtMs: RAISED_MS + 1000 }
    const feed = feedOf({ warnings: [other, over] })
    expect(feed.entries?.map((e) => e.id)).toEqual([`urn:uuid:${FROST.id}`, `urn:uuid:${other.id}`])
    expect(feed.entries?.[0]?.title?.value).toBe(`Over: ${FROST.headline}`)
    expect(feed.updated).toBe('2027-05-06T04:11:00+02:00')
  })

  it('is valid without any warning', () => {
    const feed = feedOf({ warnings: [] })
    expect(feed.entries ?? []).toEqual([])
    expect(feed.updated).toBe('2027-05-06T04:09:59+02:00')
  })

  it('carries whatever a grower types', () => {
    const odd = `<b>&amp; "it's" ]]> </title>`
    const feed = feedOf({
      garden: { ...GARDEN, name: odd },
      warnings: [{ ...FROST, headline: `${odd}\u0000`, why: odd }],
    })
    expect(feed.title?.value).toBe(`Warnings, ${odd}`)
    expect(feed.entries?.[0]?.title?.value).toBe(`${odd}\uFFFD`)
    expect(feed.entries?.[0]?.content?.value).toContain(odd)
  })
})
