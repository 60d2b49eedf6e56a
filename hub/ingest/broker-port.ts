/** What the hub asks of the broker that nodes publish to, be it inside the hub or a program of its own. */

export interface PublishOptions {
  readonly retain?: boolean
  readonly qos?: 0 | 1
}

export interface NodeBroker {
  /**
   * Publishes to subscribers; not an ingest path. An empty retained payload clears what was retained. What is
   * retained waits for a broker that is away, the newest of each topic.
   */
  publish(topic: string, payload: string, options?: PublishOptions): Promise<void>
  /** connections that the hub itself holds: of nodes inside the hub, or its own one to a broker elsewhere */
  connections(): number
  /** Does what nodes publish reach the hub? */
  isListening(): boolean
  /** What is not acknowledged by then is not acknowledged, and comes again. */
  close(): Promise<void>
}
