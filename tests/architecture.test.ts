/** Rules about the source itself: who may import whom, what the core may not touch, how long a file may be. */
import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { dirname, join, normalize, resolve } from 'node:path'
import { describe, expect, it } from 'vitest'

const root = resolve(import.meta.dirname, '..')
const tracked = execFileSync('git', ['ls-files', '-z', '--cached', '--others', '--exclude-standard'], {
  cwd: root,
  encoding: 'utf8',
  maxBuffer: 64 * 1024 * 1024,
})
  .split('\0')
  .filter((path) => path !== '' && existsSync(join(root, path)))
const read = (path: string): string => readFileSync(join(root, path), 'utf8')
const isTypeScript = (path: string): boolean => /\.tsx?$/.test(path)
const sources = tracked.filter((path) => isTypeScript(path) && /^(hub|shared|dashboard)\//.test(path))

interface Import {
  readonly from: string
  /** repository path of the file, or the package's name */
  readonly to: string
}

/** Static and dynamic imports, re-exports, and modules that workers are started from. */
function importsOf(path: string): Import[] {
  const code = withoutComments(read(path))
  const found = [
    ...code.matchAll(/\b(?:import|export)\b[^'"`;]*?\bfrom\s*['"]([^'"]+)['"]/g),
    ...code.matchAll(/\bimport\s*\(?\s*['"]([^'"]+)['"]/g),
    ...code.matchAll(/new URL\(\s*['"](\.[^'"]+)['"]/g),
  ]
  return found.map((match) => {
    const to = match[1] ?? ''
    return {
      from: path,
      to: to.startsWith('.') ? normalize(join(dirname(path), to)).replace(/\.js$/, '.ts') : to,
    }
  })
}

const withoutComments = (code: string): string =>
  code.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|[^:'"`])\/\/.*$/gm, '$1')

const allImports = sources.flatMap(importsOf)
const describeImport = ({ from, to }: Import): string => `${from} imports ${to}`
const within = (folder: string) => (path: string) => path.startsWith(`${folder}/`)

/** What the parts of the hub may see of each other. */
const PORTS: ReadonlySet<string> = new Set([
  'hub/store/port.ts',
  'hub/store/stored-rows.ts',
  'hub/keep/port.ts',
  'hub/doors/port.ts',
  'hub/garden/port.ts',
  'hub/garden/delivery-port.ts',
  'hub/delivery/port.ts',
  'hub/garden/measured.ts',
  'hub/garden/journal-port.ts',
  'hub/garden/export-port.ts',
  'hub/garden/tasks-port.ts',
  'hub/garden/season-plan-port.ts',
  'hub/garden/review-port.ts',
  'hub/garden/skies.ts',
  'hub/garden/planting-season.ts',
  'hub/garden/planting-progress.ts',
  'hub/forecast/port.ts',
  'hub/ingest/stored-readings.ts',
])
/** What the API asks of the rest, and the form that figures have on the wire: for what feeds the live pages. */
const WIRE_FORMS: ReadonlySet<string> = new Set(['hub/api/deps.ts', 'hub/api/figures.ts'])
const SHARED_PARTS = ['shared', 'hub/core', 'hub/worker', 'hub/sqlite']
const PARTS = [
  'hub/doors',
  'hub/ingest',
  'hub/store',
  'hub/garden',
  'hub/forecast',
  'hub/warnings',
  'hub/delivery',
  'hub/keep',
  'hub/api',
]

describe('imports point inwards', () => {
  it('finds imports to judge', () => {
    expect(allImports.length).toBeGreaterThan(100)
    expect(allImports).toContainEqual({ from: 'hub/garden/measured.ts', to: 'hub/store/port.ts' })
  })

  it('shared imports only shared and packages that a browser can run', () => {
    const wrong = allImports.filter(
      ({ from, to }) =>
        within('shared')(from) && !within('shared')(to) && !['zod', '@date-fns/tz'].includes(to),
    )
    expect(wrong.map(describeImport)).toEqual([])
  })

  it('core imports only core and shared, and astronomy as its one package', () => {
    const wrong = allImports.filter(
      ({ from, to }) =>
        within('hub/core')(from) &&
        !within('hub/core')(to) &&
        !within('shared')(to) &&
        !CORE_PACKAGES.has(to),
    )
    expect(wrong.map(describeImport)).toEqual([])
  })

  it.each(PARTS)('%s imports core, shared, and of the other parts only their ports', (part) => {
    const wrong = allImports.filter(
      ({ from, to }) =>
        within(part)(from) &&
        (within('hub')(to) || within('dashboard')(to) || within('tests')(to)) &&
        !within(part)(to) &&
        !SHARED_PARTS.some((folder) => within(folder)(to)) &&
        !PORTS.has(to),
    )
    expect(wrong.map(describeImport)).toEqual([])
  })

  it('ports know no adapter', () => {
    const wrong = allImports.filter(
      ({ from, to }) => PORTS.has(from) && within('hub')(to) && !within('hub/core')(to) && !PORTS.has(to),
    )
    expect(wrong.map(describeImport)).toEqual([])
  })

  it('the dashboard imports nothing of the hub', () => {
    const wrong = allImports.filter(({ from, to }) => within('dashboard')(from) && within('hub')(to))
    expect(wrong.map(describeImport)).toEqual([])
  })

  it('only the composition root and the command line join the parts', () => {
    const joining = allImports.filter(
      ({ from, to }) =>
        /^hub\/[^/]+\.ts$/.test(from) &&
        from !== 'hub/main.ts' &&
        PARTS.some((part) => within(part)(to)) &&
        !PORTS.has(to) &&
        !WIRE_FORMS.has(to),
    )
    expect(joining.map(describeImport)).toEqual([])
  })
})

/** Packages of the core: pure computation, no I/O. */
const CORE_PACKAGES: ReadonlySet<string> = new Set(['suncalc', 'nrel-spa', 'astronomy-engine'])

describe('the core is pure', () => {
  const core = sources.filter(within('hub/core'))

  it.each([
    ['reads no clock', /\bDate\.now\b|\bnew Date\(\s*\)|\bperformance\.now\b|\bprocess\.hrtime\b/],
    ['draws no random numbers', /\bMath\.random\b|\bcrypto\b/],
    ['uses nothing of the machine', /['"]node:|\bprocess\.|\bfetch\(|\brequire\(/],
    ['logs nothing', /\bconsole\./],
    ['waits for nothing', /\bsetTimeout\b|\bsetInterval\b|\bsetImmediate\b/],
    [
      'leaves time zones to shared/local-time.ts',
      /\bIntl\.|\btoLocale|\bgetTimezoneOffset\b|\.get(Hours|Date|Day)\(/,
    ],
  ])('%s', (_rule, forbidden) => {
    const wrong = core.filter((path) => forbidden.test(withoutComments(read(path))))
    expect(wrong).toEqual([])
  })
})

describe('the tree reads well', () => {
  it('keeps every file to about 400 lines', () => {
    const long = tracked
      .filter(isTypeScript)
      .map((path) => ({ path, lines: read(path).split('\n').length }))
      .filter(({ lines }) => lines > 420)
    expect(long).toEqual([])
  })

  it('has no drawers and no barrels', () => {
    const drawers = sources.filter((path) =>
      /(^|\/)(utils?|helpers?|common|types|misc|index)(\.tsx?$|\/)/.test(path),
    )
    expect(drawers).toEqual([])
  })

  it('quiets neither the compiler nor the linter', () => {
    const quiet = sources.filter((path) =>
      /@ts-(ignore|nocheck|expect-error)|biome-ignore-all/.test(read(path)),
    )
    expect(quiet).toEqual([])
  })

  it('names no place on any one machine', () => {
    const text = tracked.filter(
      (path) => !/\.(png|jpe?g|woff2?|ico|gz|cbor)$/.test(path) && path !== 'package-lock.json',
    )
    const places = text.filter((path) =>
      /(^|[\s'"`(=:])\/(work|home|root|Users|mnt|media)\/[A-Za-z0-9._-]+/m.test(read(path)),
    )
    expect(places).toEqual([])
  })
})
