/** Every error, whoever threw it, becomes one problem reply. Nothing of a failure inside the hub leaks out. */
import type { FastifyError, FastifyReply, FastifyRequest } from 'fastify'
import { DoorError } from '../doors/port.js'
import { GardenError } from '../garden/port.js'
import { StoreError } from '../store/port.js'
import type { Api } from './deps.js'
import { ApiProblem, invalidInput, problemBody } from './problems.js'

export function handleErrors(app: Api): void {
  app.setErrorHandler((error: FastifyError, request, reply) => sendProblem(error, request, reply))
}

/** Also for errors that fastify meets before it has found a route. */
export function sendProblem(error: unknown, request: FastifyRequest, reply: FastifyReply): FastifyReply {
  const problem = toProblem(error, request)
  if (problem.status >= 500) {
    const level = problem.code === 'INTERNAL' ? 'error' : 'warn'
    request.log[level]({ err: error, method: request.method, url: withoutKey(request.url) }, problem.detail)
  }
  if (error instanceof DoorError && error.retryAfterS !== null)
    reply.header('retry-after', String(error.retryAfterS))
  if (problem.status === 401) reply.header('www-authenticate', 'Bearer realm="hearting"')
  if (problem.status === 503) reply.header('retry-after', '5')
  return reply
    .code(problem.status)
    .type('application/problem+json')
    .serializer((body) => JSON.stringify(body))
    .send(problemBody(problem.code, problem.detail, problem.problems))
}

/** The key of a calendar's address belongs in no log. */
const withoutKey = (url: string): string => url.replace(/([?&]key=)[^&]*/g, '$1…')

function toProblem(error: unknown, request: FastifyRequest): ApiProblem {
  if (error instanceof ApiProblem) return error
  if (error instanceof DoorError) return fromDoor(error)
  if (error instanceof GardenError) return fromGarden(error)
  if (error instanceof StoreError)
    return new ApiProblem('UNAVAILABLE', 'the store of readings does not answer')
  if (!(error instanceof Error)) return new ApiProblem('INTERNAL', 'unexpected failure')
  const { validation, validationContext, code, statusCode } = error as FastifyError
  if (validation) {
    const where = validationContext === 'params' ? 'address' : (validationContext ?? 'request')
    return invalidInput(
      validation.map((issue) => ({
        field: issue.instancePath.slice(1).replaceAll('/', '.') || where,
        message: issue.message ?? 'cannot be used',
      })),
    )
  }
  switch (code) {
    case 'FST_ERR_CTP_BODY_TOO_LARGE':
      return new ApiProblem(
        'BODY_TOO_LARGE',
        `the request is larger than ${inKiB(request.routeOptions.bodyLimit)} KiB`,
      )
    case 'FST_ERR_CTP_INVALID_MEDIA_TYPE':
      return new ApiProblem('UNSUPPORTED_MEDIA_TYPE', 'the body is not application/json')
    case 'FST_ERR_CTP_EMPTY_JSON_BODY':
      return new ApiProblem('BAD_REQUEST', 'the body is empty, but its type says JSON')
    case 'FST_ERR_BAD_URL':
      return new ApiProblem('BAD_REQUEST', 'the address holds a broken % escape')
  }
  // the server of files says so of folders and of paths that climb out
  if (statusCode === 403 || statusCode === 404) {
    return new ApiProblem('NOT_FOUND', 'there is nothing at this address')
  }
  // what else the framework itself refuses (broken JSON, a wrong content length): the client's doing
  if (statusCode !== undefined && statusCode >= 400 && statusCode < 500) {
    return new ApiProblem('BAD_REQUEST', 'the request is not well-formed: is the body valid JSON?')
  }
  return new ApiProblem('INTERNAL', 'unexpected failure; the hub log says more')
}

const inKiB = (bytes: number): number => Math.round(bytes / 1024)

function fromDoor({ code, field, message }: DoorError): ApiProblem {
  const problems = field === null ? [] : [{ field, message }]
  return code === 'WEAK_PASSPHRASE' ? invalidInput(problems) : new ApiProblem(code, message, problems)
}

function fromGarden(error: GardenError): ApiProblem {
  const problems = error.field === null ? [] : [{ field: error.field, message: error.message }]
  switch (error.code) {
    case 'OVERLAP':
    case 'STILL_USED':
    case 'ID_TAKEN':
    case 'TOO_MANY_PHOTOS':
      return new ApiProblem(error.code, error.message, problems)
    case 'GARDEN_UNAVAILABLE':
      return new ApiProblem('UNAVAILABLE', 'the garden data cannot be reached')
    case 'OUT_OF_ORDER':
      return problems.length > 0 ? invalidInput(problems) : new ApiProblem('INVALID_INPUT', error.message)
    default:
      // in a field it is wrong input; in the address it is something that is not there
      return error.field === null ? new ApiProblem(error.code, error.message) : invalidInput(problems)
  }
}
