import { afterAll, beforeAll, describe } from 'vitest'
import { connectExternalBroker } from '../../../hub/ingest/external-broker.js'
import {
  hasMosquitto,
  type MosquittoForTest,
  mosquittoNote,
  startMosquitto,
} from '../../support/mosquitto.js'
import { brokerContract } from '../broker-contract.js'
import { until } from '../hub-under-test.js'

describe.skipIf(!hasMosquitto)(`a real Mosquitto${mosquittoNote}`, () => {
  let server: MosquittoForTest
  let clients = 0
  beforeAll(async () => {
    server = await startMosquitto()
  })
  afterAll(() => server?.dispose())

  for (const mqttVersion of ['5', '3.1.1'] as const) {
    brokerContract(`Mosquitto, by MQTT ${mqttVersion}`, async (ingest, log) => {
      const broker = connectExternalBroker({
        url: server.url,
        user: null,
        password: null,
        clientId: `hub-${clients++}`,
        mqttVersion,
        ingest,
        log,
        maxPacketBytes: 256 * 1024,
        firstPauseMs: 20,
      })
      await until('the hub listens', () => broker.isListening())
      return { broker, url: server.url }
    })
  }
})
