import { readdirSync, readFileSync } from 'node:fs'
import SwaggerParser from '@apidevtools/swagger-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type ApiFixture, openApi } from './api-fixture.js'

interface Operation {
  readonly summary?: string
  readonly parameters?: readonly { readonly name: string; readonly in: string }[]
  readonly requestBody?: unknown
  readonly responses: Readonly<Record<string, { readonly description: string; readonly content?: object }>>
}
interface Document {
  readonly openapi: string
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>
  readonly components: { readonly schemas: Readonly<Record<string, unknown>> }
}

describe('the description of the API', () => {
  let api: ApiFixture
  let document: Document
  const added: string[] = []
  beforeAll(async () => {
    api = await openApi()
    document = (await api.ask('GET', 'openapi.json')).body
    for (const line of api.app.printRoutes({ commonPrefix: false }).split('\n')) added.push(line)
  })
  afterAll(() => api.close())

  it('is valid OpenAPI 3.1', async () => {
    expect(document.openapi).toMatch(/^3\.1\./)
    // the validator takes the document apart: give it a copy
    await SwaggerParser.validate(structuredClone(document) as never)
  })

  it('knows every address that the server takes, and no other', () => {
    const described = Object.entries(document.paths).flatMap(([path, operations]) =>
      Object.keys(operations).map((method) => `${method.toUpperCase()} ${path}`),
    )
    expect(described.sort()).toEqual(EXPECTED.sort())
    for (const address of described) {
      const [method, path = ''] = address.split(' ')
      const url = path.replaceAll(/\{(\w+)\}/g, ':$1')
      expect(api.app.hasRoute({ method: method as 'GET', url }), address).toBe(true)
    }
  })

  it('is what the guides speak of', () => {
    const nameless = (path: string): string => path.replaceAll(/\{\w+\}/g, '{}')
    const known = ['GET /api/v1/openapi.json', ...EXPECTED].map(nameless)
    const guides = ['README.md', ...readdirSync('docs').map((name) => `docs/${name}`)]
    const spokenOf = guides
      .filter((path) => path.endsWith('.md'))
      .flatMap((path) => [...readFileSync(path, 'utf8').matchAll(/`((?:GET|PUT|POST|DELETE) [/…][^`? ]*)/g)])
      .map(([, address = '']) => nameless(address))
    expect(spokenOf.length).toBeGreaterThan(15)
    const strange = spokenOf.filter((address) => {
      const [method, path = ''] = address.split(' ')
      return !known.some((one) => one.startsWith(`${method} `) && one.endsWith(path.replace('…', '')))
    })
    expect(strange).toEqual([])
  })

  it('says in words what each does and describes each answer', () => {
    for (const [path, operations] of Object.entries(document.paths)) {
      for (const [method, operation] of Object.entries(operations)) {
        const name = `${method} ${path}`
        expect(operation.summary ?? '', name).toMatch(/.{10}/)
        for (const [status, response] of Object.entries(operation.responses)) {
          if (status !== '204') expect(response.content, `${name} ${status}`).toBeDefined()
        }
        const inPath = [...path.matchAll(/\{(\w+)\}/g)].map((match) => match[1])
        const described = (operation.parameters ?? []).filter((p) => p.in === 'path').map((p) => p.name)
        expect(described.sort(), name).toEqual(inPath.sort())
        if (path.startsWith('/api/v1/gardens/{')) expect(operation.responses, name).toHaveProperty('404')
        if (method === 'put') expect(operation.requestBody, name).toBeDefined()
      }
    }
  })

  it('gives numbers of a query as numbers, with their limits', () => {
    const parameters = document.paths['/api/v1/gardens/{garden}/beds/{bed}/series']?.get?.parameters
    expect(parameters).toContainEqual(
      expect.objectContaining({
        name: 'points',
        in: 'query',
        required: false,
        schema: expect.objectContaining({ type: 'integer', minimum: 2, maximum: 20_000 }),
      }),
    )
    expect(parameters).toContainEqual(expect.objectContaining({ name: 'quantity', required: true }))
  })

  it('names the things it speaks of once', () => {
    expect(Object.keys(document.components.schemas)).toEqual(
      expect.arrayContaining(['Bed', 'DayRecord', 'Garden', 'Problem', 'Series', 'Today', 'Warning']),
    )
    const beds = document.paths['/api/v1/gardens/{garden}/beds']?.get?.responses['200']?.content
    expect(JSON.stringify(beds)).toContain('#/components/schemas/Bed')
  })
})

const EXPECTED = [
  'GET /api/v1/access',
  'POST /api/v1/access/set-up',
  'POST /api/v1/access/sign-in',
  'POST /api/v1/access/look',
  'POST /api/v1/access/sign-out',
  'PUT /api/v1/access/passphrase',
  'GET /api/v1/access/sessions',
  'DELETE /api/v1/access/sessions/{id}',
  'GET /api/v1/access/links',
  'POST /api/v1/access/links',
  'DELETE /api/v1/access/links/{id}',
  'GET /api/v1/gardens/{garden}/node-credentials',
  'GET /api/v1/gardens/{garden}/nodes/{node}/connection',
  'POST /api/v1/gardens/{garden}/nodes/{node}/credential',
  'DELETE /api/v1/gardens/{garden}/nodes/{node}/credential',
  'GET /healthz',
  'GET /readyz',
  'GET /metrics',
  'GET /api/v1/crops',
  'GET /api/v1/problems',
  'GET /api/v1/problems/{problem}',
  'GET /api/v1/places',
  'GET /api/v1/gardens',
  'GET /api/v1/gardens/{garden}',
  'PUT /api/v1/gardens/{garden}',
  'GET /api/v1/gardens/{garden}/beds',
  'GET /api/v1/gardens/{garden}/export.csv',
  'GET /api/v1/gardens/{garden}/export.json',
  'POST /api/v1/gardens/{garden}/readings-import',
  'GET /api/v1/gardens/{garden}/beds/{bed}',
  'PUT /api/v1/gardens/{garden}/beds/{bed}',
  'DELETE /api/v1/gardens/{garden}/beds/{bed}',
  'GET /api/v1/gardens/{garden}/beds/{bed}/quantities',
  'GET /api/v1/gardens/{garden}/beds/{bed}/series',
  'GET /api/v1/gardens/{garden}/beds/{bed}/days',
  'GET /api/v1/gardens/{garden}/beds/{bed}/sun',
  'GET /api/v1/gardens/{garden}/beds/{bed}/skyline',
  'PUT /api/v1/gardens/{garden}/beds/{bed}/skyline',
  'DELETE /api/v1/gardens/{garden}/beds/{bed}/skyline',
  'GET /api/v1/gardens/{garden}/beds/{bed}/sun-outlook',
  'GET /api/v1/gardens/{garden}/beds/{bed}/sun-path',
  'GET /api/v1/gardens/{garden}/beds/{bed}/sun-carpet',
  'GET /api/v1/gardens/{garden}/beds/{bed}/temperature-carpet',
  'GET /api/v1/gardens/{garden}/sun-comparison',
  'GET /api/v1/gardens/{garden}/clear-normals',
  'PUT /api/v1/gardens/{garden}/clear-normals',
  'DELETE /api/v1/gardens/{garden}/clear-normals',
  'GET /api/v1/gardens/{garden}/nodes',
  'GET /api/v1/gardens/{garden}/nodes/{node}',
  'PUT /api/v1/gardens/{garden}/nodes/{node}',
  'DELETE /api/v1/gardens/{garden}/nodes/{node}',
  'GET /api/v1/gardens/{garden}/stray-packs',
  'GET /api/v1/gardens/{garden}/placements',
  'POST /api/v1/gardens/{garden}/placements',
  'GET /api/v1/gardens/{garden}/placements/{id}',
  'PUT /api/v1/gardens/{garden}/placements/{id}',
  'DELETE /api/v1/gardens/{garden}/placements/{id}',
  'GET /api/v1/gardens/{garden}/plantings',
  'POST /api/v1/gardens/{garden}/plantings',
  'GET /api/v1/gardens/{garden}/plantings/{id}',
  'PUT /api/v1/gardens/{garden}/plantings/{id}',
  'DELETE /api/v1/gardens/{garden}/plantings/{id}',
  'GET /api/v1/gardens/{garden}/plantings/{id}/progress',
  'GET /api/v1/gardens/{garden}/plantings/{id}/mutes',
  'PUT /api/v1/gardens/{garden}/plantings/{id}/mutes',
  'GET /api/v1/gardens/{garden}/space',
  'GET /api/v1/gardens/{garden}/review',
  'GET /api/v1/gardens/{garden}/plan',
  'GET /api/v1/gardens/{garden}/plan/beds',
  'GET /api/v1/gardens/{garden}/plan-weather',
  'PUT /api/v1/gardens/{garden}/plan-weather',
  'DELETE /api/v1/gardens/{garden}/plan-weather',
  'GET /api/v1/gardens/{garden}/crops',
  'GET /api/v1/gardens/{garden}/crops/{id}',
  'PUT /api/v1/gardens/{garden}/crops/{id}',
  'DELETE /api/v1/gardens/{garden}/crops/{id}',
  'GET /api/v1/gardens/{garden}/journal',
  'POST /api/v1/gardens/{garden}/journal',
  'GET /api/v1/gardens/{garden}/journal/{id}',
  'PUT /api/v1/gardens/{garden}/journal/{id}',
  'DELETE /api/v1/gardens/{garden}/journal/{id}',
  'GET /api/v1/gardens/{garden}/journal/{id}/photos/{photo}',
  'PUT /api/v1/gardens/{garden}/journal/{id}/photos/{photo}',
  'DELETE /api/v1/gardens/{garden}/journal/{id}/photos/{photo}',
  'GET /api/v1/gardens/{garden}/normals',
  'GET /api/v1/gardens/{garden}/forecast',
  'PUT /api/v1/gardens/{garden}/forecast',
  'PUT /api/v1/gardens/{garden}/normals',
  'DELETE /api/v1/gardens/{garden}/normals',
  'GET /api/v1/gardens/{garden}/today',
  'GET /api/v1/gardens/{garden}/warnings',
  'POST /api/v1/gardens/{garden}/warnings/{id}/seen',
  'GET /api/v1/gardens/{garden}/warnings/{id}/cap.xml',
  'GET /api/v1/gardens/{garden}/warnings.atom',
  'GET /api/v1/gardens/{garden}/delivery',
  'PUT /api/v1/gardens/{garden}/delivery',
  'POST /api/v1/gardens/{garden}/delivery/test',
  'GET /api/v1/gardens/{garden}/delivery/outbox',
  'GET /api/v1/gardens/{garden}/tasks',
  'POST /api/v1/gardens/{garden}/tasks/{id}/done',
  'POST /api/v1/gardens/{garden}/tasks/{id}/undone',
  'POST /api/v1/gardens/{garden}/tasks/{id}/later',
  'POST /api/v1/gardens/{garden}/tasks/{id}/never',
  'DELETE /api/v1/gardens/{garden}/tasks/{id}/answer',
  'GET /api/v1/gardens/{garden}/calendar.ics',
  'GET /api/v1/gardens/{garden}/calendar-links',
  'POST /api/v1/gardens/{garden}/calendar-links',
  'DELETE /api/v1/gardens/{garden}/calendar-links/{id}',
  'GET /api/v1/gardens/{garden}/live',
]
