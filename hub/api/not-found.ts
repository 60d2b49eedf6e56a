/** Addresses that lead nowhere (404) and known addresses asked with a wrong method (405, with Allow). */
import type { Api } from './deps.js'
import { sendProblem } from './error-replies.js'
import { ApiProblem } from './problems.js'

/** Call before the first route is added: it takes note of each. */
export function handleUnknownAddresses(app: Api): void {
  const methodsByPattern = new Map<string, Set<string>>()
  app.addHook('onRoute', (route) => {
    if (route.url.includes('*')) return
    const methods = methodsByPattern.get(route.url) ?? new Set<string>()
    for (const method of [route.method].flat()) methods.add(method)
    methodsByPattern.set(route.url, methods)
  })

  let matchers: { readonly path: RegExp; readonly methods: ReadonlySet<string> }[] | null = null
  const methodsAt = (path: string): string[] => {
    matchers ??= [...methodsByPattern].map(([pattern, methods]) => ({ path: toRegExp(pattern), methods }))
    return matchers.filter((known) => known.path.test(path)).flatMap((known) => [...known.methods])
  }

  app.setNotFoundHandler((request, reply) => {
    const path = request.url.split('?', 1)[0] ?? ''
    const allowed = methodsAt(path)
    if (allowed.length === 0) {
      return sendProblem(
        new ApiProblem('NOT_FOUND', `there is nothing at ${path.slice(0, 200)}`),
        request,
        reply,
      )
    }
    const allow = [...new Set(allowed)].sort().join(', ')
    reply.header('allow', allow)
    return sendProblem(
      new ApiProblem('METHOD_NOT_ALLOWED', `${request.method} is not for this address; it takes ${allow}`),
      request,
      reply,
    )
  })
}

const toRegExp = (pattern: string): RegExp =>
  new RegExp(
    `^${pattern
      .split('/')
      .map((part) => (part.startsWith(':') ? '[^/]+' : part.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')))
      .join('/')}$`,
  )
