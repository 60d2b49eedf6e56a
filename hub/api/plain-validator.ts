/** Checks what comes in against a route's schema, and says what is wrong in plain words. For setValidatorCompiler. */
import type { FastifySchemaCompiler } from 'fastify'
import type { z } from 'zod'
import { plainWords } from '../../shared/api/plain-words.js'

export const plainValidator: FastifySchemaCompiler<z.ZodType> =
  ({ schema }) =>
  (data: unknown) => {
    const result = schema.safeParse(data, { error: plainWords })
    if (result.success) return { value: result.data }
    return {
      error: result.error.issues.map(({ path, code, message }) => ({
        keyword: code,
        instancePath: `/${path.map(String).join('/')}`,
        schemaPath: `#/${path.map(String).join('/')}/${code}`,
        message,
        params: {},
      })),
    }
  }
