/** Wakes the outbox, and hires the worker that opens the almanac without the hub. Only secure contexts have workers. */
import { sendNow } from './outbox.js'

export async function startOutbox(): Promise<void> {
  void sendNow()
  if (!('serviceWorker' in navigator)) return
  try {
    await navigator.serviceWorker.register('/sw.js')
  } catch (error) {
    // without it everything works but opening the page without the hub; the browser's console says why
    console.info('the almanac cannot be opened without the hub:', error)
  }
}
