/** Asking axe-core what it objects to on a page. */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Page } from 'playwright-core'
import { z } from 'zod'

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

const AxeResult = z.object({
  violations: z.array(
    z.object({ id: z.string(), help: z.string(), nodes: z.array(z.object({ html: z.string() })) }),
  ),
})

/** What axe-core objects to, one line each. */
export async function objections(page: Page): Promise<string[]> {
  // by the debugger, not as a script element: the page's policy would rightly refuse that
  await page.evaluate(AXE)
  const result = AxeResult.parse(await page.evaluate('axe.run(document)'))
  return result.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${v.help}: ${n.html.slice(0, 160)}`))
}
