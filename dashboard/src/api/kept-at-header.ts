/** Set by the service worker on answers it kept: when the hub gave them, ms. */
export const KEPT_AT_HEADER = 'x-kept-at-ms'
