/**
 * Cities of the world with their time zones, from a list inside the program: found by the beginning of their name, or by
 * nearness. The list is read when it is first asked for: most hubs never need it again after their first day.
 */
import type { Place } from '../../shared/api/places.js'
import { isTimeZone } from '../../shared/local-time.js'

/** mean radius, IUGG */
const EARTH_KM = 6371.0088
const RAD = Math.PI / 180
/** The list has some cities twice, under their own and their English name. */
const SAME_CITY_KM = 5
const MOST_FOUND = 12
const MOST_NEAR = 3

/** Letters that Unicode does not take apart into a base and a mark. */
const SPELLED: Readonly<Record<string, string>> = {
  æ: 'ae',
  ø: 'o',
  ß: 'ss',
  þ: 'th',
  ð: 'd',
  đ: 'd',
  ł: 'l',
  ı: 'i',
  œ: 'oe',
}

interface Entry {
  readonly place: Place
  /** its names, each as words without marks */
  readonly names: readonly (readonly string[])[]
  /** words of the names, the province and the country */
  readonly words: readonly string[]
}

export interface PlaceList {
  /** Those whose name begins so, the largest first; further words may be of the province or the country. */
  byName(text: string): Place[]
  near(latitudeDeg: number, longitudeDeg: number): Place[]
  timeZoneAt(latitudeDeg: number, longitudeDeg: number): string
}

/** Text as words in small letters without marks: 'São Paulo' as 'sao', 'paulo'. */
function wordsOf(text: string): string[] {
  return text
    .toLowerCase()
    .replace(/[æøßþðđłıœ]/g, (letter) => SPELLED[letter] ?? '')
    .normalize('NFD')
    .replace(/[\u0300-\u036f]/g, '')
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '')
}

function distanceKm(fromLatDeg: number, fromLonDeg: number, toLatDeg: number, toLonDeg: number): number {
  const half = (deg: number): number => Math.sin((deg * RAD) / 2) ** 2
  const across = Math.cos(fromLatDeg * RAD) * Math.cos(toLatDeg * RAD) * half(toLonDeg - fromLonDeg)
  return 2 * EARTH_KM * Math.asin(Math.sqrt(Math.min(1, half(toLatDeg - fromLatDeg) + across)))
}

/** Reads the list; the answer is kept by whoever asks. */
export async function readPlaceList(): Promise<PlaceList> {
  const [{ default: cities }, { default: zoneAt }] = await Promise.all([
    import('city-timezones'),
    import('@photostructure/tz-lookup'),
  ])
  const timeZoneAt = (latitudeDeg: number, longitudeDeg: number): string => zoneAt(latitudeDeg, longitudeDeg)

  // asking the machine costs a millisecond, and thousands of cities share some hundred zones
  const known = new Map<string, boolean>()
  const isKnown = (timeZone: string): boolean => {
    const isOne = known.get(timeZone) ?? isTimeZone(timeZone)
    known.set(timeZone, isOne)
    return isOne
  }
  const entries = cities.cityMapping
    .map((city): Entry => {
      const { province, state_ansi: state } = city
      const names = [wordsOf(city.city), wordsOf(city.city_ascii)]
      return {
        names,
        words: [
          ...names.flat(),
          ...wordsOf(`${province ?? ''} ${state ?? ''} ${city.country} ${city.iso2 ?? ''}`),
        ],
        place: {
          name: city.city,
          province: province || null,
          country: city.country,
          latitudeDeg: Math.round(city.lat * 1e4) / 1e4,
          longitudeDeg: Math.round(city.lng * 1e4) / 1e4,
          timeZone: isKnown(city.timezone ?? '') ? city.timezone : timeZoneAt(city.lat, city.lng),
          population: Math.round(city.pop),
          distanceKm: null,
        },
      }
    })
    .sort((a, b) => b.place.population - a.place.population)

  const without = (found: readonly Place[], most: number): Place[] => {
    const kept: Place[] = []
    for (const place of found) {
      if (kept.length === most) break
      const isTwin = kept.some(
        (other) =>
          other.country === place.country &&
          distanceKm(other.latitudeDeg, other.longitudeDeg, place.latitudeDeg, place.longitudeDeg) <
            SAME_CITY_KM,
      )
      if (!isTwin) kept.push(place)
    }
    return kept
  }

  return {
    byName(text) {
      const asked = wordsOf(text)
      const [first] = asked
      if (first === undefined) return []
      const matching = entries.filter(
        ({ names, words }) =>
          names.some((name) => name.some((word) => word.startsWith(first))) &&
          asked.every((part) => words.some((word) => word.startsWith(part))),
      )
      const begins = ({ names }: Entry): boolean => names.some((name) => name[0]?.startsWith(first) === true)
      const ranked = [...matching.filter(begins), ...matching.filter((entry) => !begins(entry))]
      return without(
        ranked.map(({ place }) => place),
        MOST_FOUND,
      )
    },
    near(latitudeDeg, longitudeDeg) {
      const ranked = entries
        .map(({ place }) => ({
          ...place,
          distanceKm:
            Math.round(distanceKm(latitudeDeg, longitudeDeg, place.latitudeDeg, place.longitudeDeg) * 10) /
            10,
        }))
        .sort((a, b) => a.distanceKm - b.distanceKm)
      return without(ranked, MOST_NEAR)
    },
    timeZoneAt,
  }
}
