/** A forecast published on gardens/{garden}/forecast: the same JSON as PUT /gardens/{garden}/forecast takes. */
import { ForecastInput } from '../../shared/api/forecast.js'
import { type Forecasts, receivedForecast } from './port.js'

/**
 * Takes what was published; durable when it resolves.
 *
 * @returns why it is refused, for the sender; null: it is kept
 */
export async function takePublished(
  forecasts: Forecasts,
  garden: string,
  payload: Uint8Array,
  nowMs: number,
): Promise<string | null> {
  let json: unknown
  try {
    json = JSON.parse(Buffer.from(payload).toString('utf8'))
  } catch (error) {
    return `not JSON: ${error instanceof Error ? error.message : String(error)}`
  }
  const parsed = ForecastInput.safeParse(json)
  if (!parsed.success) {
    const [issue] = parsed.error.issues
    return `${issue?.path.join('.') || 'the forecast'}: ${issue?.message}`
  }
  // a broker may hand out again, days later, what it has kept
  if (parsed.data.issuedAt === null) return 'issuedAt: say when the forecast was made'
  return forecasts.take(garden, receivedForecast(parsed.data, nowMs))
}
