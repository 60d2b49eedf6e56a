/**
 * The HTTP side of the hub, put together: API, live events, health, metrics, the page. Built apart from
 * listening, so that tests can inject requests and hub/main.ts decides where it listens.
 */
import { constants } from 'node:zlib'
import compress from '@fastify/compress'
import fastify, { type FastifyInstance, LogController } from 'fastify'
import type { ZodTypeProvider } from 'fastify-type-provider-zod'
import type { Api, ApiDeps } from './deps.js'
import { guardDoors, openToAll } from './door-guard.js'
import { handleErrors, sendProblem } from './error-replies.js'
import { createHttpServer } from './http-server.js'
import { endIdleSocketsOnClose } from './idle-sockets.js'
import { handleUnknownAddresses } from './not-found.js'
import { describeApi, openApiRoute } from './openapi.js'
import { servePages } from './pages.js'
import { plainValidator } from './plain-validator.js'
import { replySerializer } from './reply-serializer.js'
import { accessRoutes } from './routes/access.js'
import { bedRoutes } from './routes/beds.js'
import { calendarRoutes } from './routes/calendar.js'
import { cropRoutes } from './routes/crops.js'
import { dayRoutes } from './routes/days.js'
import { deliveryRoutes } from './routes/delivery.js'
import { exportRoutes } from './routes/export.js'
import { forecastRoutes } from './routes/forecast.js'
import { gardenCropRoutes } from './routes/garden-crops.js'
import { gardenRoutes } from './routes/gardens.js'
import { healthRoutes } from './routes/health.js'
import { importRoutes, takeCsv } from './routes/import.js'
import { journalRoutes } from './routes/journal.js'
import { journalPhotoRoutes, takeImages } from './routes/journal-photos.js'
import { liveRoutes } from './routes/live.js'
import { nodeConnectionRoutes } from './routes/node-connection.js'
import { nodeCredentialRoutes } from './routes/node-credentials.js'
import { nodeRoutes } from './routes/nodes.js'
import { normalsRoutes } from './routes/normals.js'
import { placementRoutes } from './routes/placements.js'
import { placeRoutes } from './routes/places.js'
import { planRoutes, planWeatherRoutes } from './routes/plan.js'
import { plantingRecordRoutes } from './routes/planting-records.js'
import { plantingRoutes } from './routes/plantings.js'
import { problemRoutes } from './routes/problems.js'
import { reviewRoutes } from './routes/review.js'
import { seriesRoutes } from './routes/series.js'
import { skylineRoutes } from './routes/skyline.js'
import { spaceRoutes } from './routes/space.js'
import { sunRoutes } from './routes/sun.js'
import { sunOutlookRoutes } from './routes/sun-outlook.js'
import { taskRoutes } from './routes/tasks.js'
import { todayRoutes } from './routes/today.js'
import { warningRoutes } from './routes/warnings.js'
import { secure } from './security.js'
import { limitSocketsPerAddress } from './socket-limits.js'

const MOST_BODY_BYTES = 65_536
/** the highest qualities cost a small board seconds for a few percent */
const QUICK_BROTLI = { params: { [constants.BROTLI_PARAM_QUALITY]: 4 } }

/** Builds the server; it does not listen until told to. Closing it ends live streams first. */
export async function buildServer(deps: ApiDeps): Promise<FastifyInstance> {
  const { trustedProxies = [] } = deps
  const app: FastifyInstance = fastify({
    loggerInstance: deps.log,
    // requests are counted, not logged line by line; failures are logged where they become replies
    logController: new LogController({ disableRequestLogging: true }),
    bodyLimit: MOST_BODY_BYTES,
    serverFactory: (handler) => createHttpServer(handler, deps.tls ?? null),
    ...(trustedProxies.length > 0 ? { trustProxy: [...trustedProxies] } : {}),
    routerOptions: { maxParamLength: 120 },
    frameworkErrors: (error, request, reply) => {
      sendProblem(error, request, reply)
    },
  })
  // a form of another site can send this type without asking first; nothing here takes it
  app.removeContentTypeParser('text/plain')
  endIdleSocketsOnClose(app)
  limitSocketsPerAddress(app, trustedProxies)
  app.setValidatorCompiler(plainValidator)
  app.setSerializerCompiler(replySerializer(deps.checkReplies === true))
  app.addHook('onResponse', async (request, reply) => {
    const route = request.routeOptions.url ?? 'none'
    deps.metrics.requestServed(route, reply.statusCode, reply.elapsedTime / 1000)
  })

  handleErrors(app)
  handleUnknownAddresses(app)
  await secure(app, deps.loopbackOnly, deps.tls !== undefined)
  await guardDoors(app, deps.doors)
  // a season's chart for a phone at the far end of the garden; the page's own parts lie compressed on the disk
  await app.register(compress, { threshold: 2_048, encodings: ['br', 'gzip'], brotliOptions: QUICK_BROTLI })
  await describeApi(app)
  // the page holds nothing of the garden: it is what people sign in on
  await app.register(async (scope) => {
    openToAll(scope)
    await servePages(scope, deps.pageDir)
  })

  await app.register(async (scope) => healthRoutes(scope.withTypeProvider<ZodTypeProvider>(), deps))
  await app.register(async (scope) => apiRoutes(scope.withTypeProvider<ZodTypeProvider>(), deps), {
    prefix: '/api/v1',
  })
  return app
}

function apiRoutes(api: Api, deps: ApiDeps): void {
  // figures change with every reading: let nothing between hub and page keep them
  api.addHook('onSend', async (_request, reply) => {
    if (!reply.hasHeader('cache-control')) reply.header('cache-control', 'no-store')
  })
  accessRoutes(api, deps)
  gardenRoutes(api, deps)
  placeRoutes(api)
  bedRoutes(api, deps)
  nodeRoutes(api, deps)
  nodeCredentialRoutes(api, deps)
  nodeConnectionRoutes(api, deps)
  placementRoutes(api, deps)
  plantingRoutes(api, deps)
  plantingRecordRoutes(api, deps)
  journalRoutes(api, deps)
  // images are taken by these addresses only
  api.register(async (scope) => {
    takeImages(scope)
    journalPhotoRoutes(scope, deps)
  })
  // … and tables of readings by theirs
  api.register(async (scope) => {
    takeCsv(scope)
    importRoutes(scope, deps)
  })
  exportRoutes(api, deps)
  spaceRoutes(api, deps)
  planRoutes(api, deps)
  // CSV is taken by this address only
  api.register(async (scope) => planWeatherRoutes(scope, deps))
  gardenCropRoutes(api, deps)
  normalsRoutes(api, deps)
  forecastRoutes(api, deps)
  cropRoutes(api)
  reviewRoutes(api, deps)
  seriesRoutes(api, deps)
  dayRoutes(api, deps)
  sunRoutes(api, deps)
  skylineRoutes(api, deps)
  sunOutlookRoutes(api, deps)
  todayRoutes(api, deps)
  taskRoutes(api, deps)
  calendarRoutes(api, deps)
  warningRoutes(api, deps)
  deliveryRoutes(api, deps)
  liveRoutes(api, deps)
  problemRoutes(api)
  openApiRoute(api)
}
