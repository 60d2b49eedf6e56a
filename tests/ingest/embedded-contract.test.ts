import { startEmbeddedBroker } from '../../hub/ingest/embedded-broker.js'
import { brokerContract } from './broker-contract.js'

brokerContract('the broker inside the hub', async (ingest, log) => {
  const broker = await startEmbeddedBroker({ host: '127.0.0.1', port: 0, ingest, log })
  return { broker, url: `mqtt://127.0.0.1:${broker.port}` }
})
