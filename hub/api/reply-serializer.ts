/** Replies as JSON. Their shape is held by the compiler in service and checked against the schema in tests. */
import type { FastifySerializerCompiler } from 'fastify'
import { z } from 'zod'

type Described = z.ZodType | { readonly properties: z.ZodType }

/**
 * @param check  parse each reply with its schema and fail (500) where it does not fit. A chart of 20,000 points
 *               costs more to check than to make, so this is for tests.
 */
export function replySerializer(check: boolean): FastifySerializerCompiler<Described> {
  return ({ schema, method, url }) => {
    if (!check) return (data) => JSON.stringify(data)
    const expected = schema instanceof z.ZodType ? schema : schema.properties
    return (data) => {
      const result = expected.safeParse(data)
      if (!result.success) {
        throw new Error(`${method} ${url} does not fit its schema: ${z.prettifyError(result.error)}`)
      }
      return JSON.stringify(data)
    }
  }
}
