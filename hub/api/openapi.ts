/** The API described by itself: OpenAPI 3.1, made from the schemas that check requests, so that it cannot drift. */
import swagger from '@fastify/swagger'
import type { FastifyInstance } from 'fastify'
import { createJsonSchemaTransform, createJsonSchemaTransformObject } from 'fastify-type-provider-zod'
import { z } from 'zod'
import * as garden from '../../shared/api/garden.js'
import * as journal from '../../shared/api/journal.js'
import * as measurements from '../../shared/api/measurements.js'
import * as progress from '../../shared/api/progress.js'
import * as sun from '../../shared/api/sun.js'
import * as warnings from '../../shared/api/warnings.js'
import type { Api } from './deps.js'

/** Schemas that the document names instead of repeating. */
const NAMED = {
  Garden: garden.Garden,
  Bed: garden.Bed,
  Node: garden.Node,
  Placement: garden.Placement,
  Planting: garden.Planting,
  Problem: garden.Problem,
  Series: measurements.Series,
  DayRecord: measurements.DayRecord,
  BedSun: measurements.BedSun,
  BedSkyline: sun.BedSkyline,
  SunOutlook: sun.SunOutlook,
  SunPath: sun.SunPath,
  SunCarpet: sun.SunCarpet,
  SunComparison: sun.SunComparison,
  ClearNormals: sun.ClearNormals,
  LatestValue: measurements.LatestValue,
  NodeStatus: measurements.NodeStatus,
  Today: measurements.Today,
  PlantingReport: progress.PlantingReport,
  Observation: progress.Observation,
  JournalEntry: journal.JournalEntry,
  JournalPhoto: journal.JournalPhoto,
  Warning: warnings.Warning,
  LiveEvent: warnings.LiveEvent,
} as const

/** What a schema says of itself with `.meta` (a number that arrives as text, in a query) goes before what zod sees. */
const override = ({ zodSchema, jsonSchema }: { zodSchema: z.core.$ZodType; jsonSchema: object }): void => {
  Object.assign(jsonSchema, z.globalRegistry.get(zodSchema))
}

/** Call before the routes are added. */
export async function describeApi(app: FastifyInstance): Promise<void> {
  const registry = z.registry<{ id?: string }>()
  for (const [id, schema] of Object.entries(NAMED)) registry.add(schema, { id })
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'hearting',
        version: '1',
        description:
          'Measured and computed figures of vegetable beds. Times are ISO 8601 with offset; columns of times ' +
          'are epoch seconds; field names carry their units; null means not known. Errors are problem details ' +
          '(RFC 9457).',
        license: { name: 'MIT', identifier: 'MIT' },
      },
      servers: [{ url: '/' }],
    },
    transform: createJsonSchemaTransform({ schemaRegistry: registry, zodToJsonConfig: { override } }),
    transformObject: createJsonSchemaTransformObject({
      schemaRegistry: registry,
      zodToJsonConfig: { override },
    }),
  })
}

/** GET /openapi.json; the document is made once, when it is first asked for. */
export function openApiRoute(app: Api): void {
  app.get('/openapi.json', { schema: { hide: true } }, (_request, reply) =>
    reply.type('application/json').send(JSON.stringify(app.swagger())),
  )
}
