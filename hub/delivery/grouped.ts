/** Things of one key together, in the order in which the keys first come (Node 20 has no Map.groupBy yet). */
export function grouped<T>(things: readonly T[], keyOf: (thing: T) => string): T[][] {
  const groups = new Map<string, T[]>()
  for (const thing of things) {
    const key = keyOf(thing)
    const group = groups.get(key)
    if (group === undefined) groups.set(key, [thing])
    else group.push(thing)
  }
  return [...groups.values()]
}
