/** What a browser says of itself, in the words of somebody who owns it: 'Firefox on Android'. */

/** The first that is named counts: most browsers also name those that they descend from. */
const BROWSERS: readonly (readonly [RegExp, string])[] = [
  [/\bEdgA?\//, 'Edge'],
  [/\bOPR\//, 'Opera'],
  [/\bSamsungBrowser\//, 'Samsung’s browser'],
  [/\b(Firefox|FxiOS)\//, 'Firefox'],
  [/\b(Headless)?(Chrome|CriOS|Chromium)\//, 'Chrome'],
  [/\bSafari\//, 'Safari'],
]
const SYSTEMS: readonly (readonly [RegExp, string])[] = [
  [/\bAndroid\b/, 'Android'],
  [/\biPhone\b/, 'an iPhone'],
  [/\biPad\b/, 'an iPad'],
  [/\bWindows\b/, 'Windows'],
  [/\bMac OS X\b/, 'a Mac'],
  [/\bCrOS\b/, 'a Chromebook'],
  [/\bLinux\b/, 'Linux'],
]
const MOST_CHARACTERS = 40

const named = (list: readonly (readonly [RegExp, string])[], text: string): string | null =>
  list.find(([pattern]) => pattern.test(text))?.[1] ?? null

export function deviceName(userAgent: string): string {
  const browser = named(BROWSERS, userAgent)
  const system = named(SYSTEMS, userAgent)
  if (browser !== null) return system === null ? browser : `${browser} on ${system}`
  if (system !== null) return `a browser on ${system}`
  return userAgent === '' ? 'a program without a name' : userAgent.slice(0, MOST_CHARACTERS)
}
