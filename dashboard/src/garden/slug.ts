/** An id from a name: ids are part of addresses and MQTT topics, so nobody should have to invent one. Pure. */

/** Letters that Unicode does not take apart into a base and a mark. */
const SPELLED: Readonly<Record<string, string>> = {
  æ: 'ae',
  ø: 'o',
  å: 'a',
  ß: 'ss',
  þ: 'th',
  ð: 'd',
  ł: 'l',
}

/**
 * @param taken ids already in use; the first free number is put behind
 * @returns an id of `[a-z0-9][a-z0-9-]{0,62}`; `fallback` where nothing of the name can be spelled
 */
export function slugOf(name: string, taken: readonly string[], fallback: string): string {
  const spelled = name
    .toLowerCase()
    .replace(/[æøåßþðł]/g, (letter) => SPELLED[letter] ?? '')
    .normalize('NFD')
    .replace(/[\u0300-\u036f]/g, '')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 50)
    .replace(/-+$/, '')
  const base = spelled === '' ? fallback : spelled
  if (!taken.includes(base)) return base
  let n = 2
  while (taken.includes(`${base}-${n}`)) n++
  return `${base}-${n}`
}
