/** Settings of services beside the hub, with what lies in files read: passwords and certificates. */
import { readFileSync } from 'node:fs'
import { type Config, ConfigError, envName } from './config.js'

export interface InfluxServiceSettings {
  readonly url: string
  readonly user: string | null
  readonly password: string | null
  readonly database: string
}

export interface BrokerSettings {
  readonly url: string
  readonly host: string
  readonly port: number
  readonly isTls: boolean
  readonly user: string | null
  readonly password: string | null
  /** PEM texts */
  readonly ca: string | null
  readonly cert: string | null
  readonly key: string | null
  readonly clientId: string
  readonly mqttVersion: '5' | '3.1.1'
}

/**
 * null: readings are kept in the data folder.
 *
 * @throws ConfigError  when the password's file cannot be read, or it is given twice
 */
export function readInfluxSettings(config: Config): InfluxServiceSettings | null {
  if (config.store !== 'influx') return null
  return {
    url: config.influxUrl,
    user: config.influxUser === '' ? null : config.influxUser,
    password: secret(config, 'influxPassword', 'influxPasswordFile'),
    database: config.influxDatabase,
  }
}

/** Where readings are kept, and what waits on the way there. @throws ConfigError, as readInfluxSettings */
export const readStoreSettings = (config: Config) => ({
  influx: readInfluxSettings(config),
  spoolLimit: config.spoolLimit,
  keepDays: config.spoolKeepDays,
})

/**
 * null: nodes publish to the broker inside the hub.
 *
 * @throws ConfigError  when a file cannot be read, or settings contradict each other
 */
export function readBrokerSettings(config: Config): BrokerSettings | null {
  if (config.brokerUrl === '') return null
  const { protocol, hostname, port } = new URL(config.brokerUrl)
  const isTls = protocol === 'mqtts:'
  if ((config.brokerCertFile === '') !== (config.brokerKeyFile === ''))
    throw new ConfigError(
      `${envName('brokerCertFile')} and ${envName('brokerKeyFile')} go together: give both`,
    )
  if (!isTls && config.brokerCaFile !== '')
    throw new ConfigError(
      `${envName('brokerCaFile')}: without mqtts:// in ${envName('brokerUrl')} nothing is encrypted`,
    )
  return {
    url: config.brokerUrl,
    host: hostname,
    port: Number(port) || (isTls ? 8883 : 1883),
    isTls,
    user: config.brokerUser === '' ? null : config.brokerUser,
    password: secret(config, 'brokerPassword', 'brokerPasswordFile'),
    ca: text(config, 'brokerCaFile'),
    cert: text(config, 'brokerCertFile'),
    key: text(config, 'brokerKeyFile'),
    clientId: config.brokerClientId,
    mqttVersion: config.brokerMqttVersion,
  }
}

type FileKey =
  | 'influxPasswordFile'
  | 'brokerPasswordFile'
  | 'brokerCaFile'
  | 'brokerCertFile'
  | 'brokerKeyFile'

function text(config: Config, key: FileKey): string | null {
  const path = config[key]
  if (path === '') return null
  try {
    return readFileSync(path, 'utf8')
  } catch (cause) {
    throw new ConfigError(`${envName(key)}: ${path} cannot be read: ${(cause as Error).message}`, { cause })
  }
}

function secret(
  config: Config,
  key: 'influxPassword' | 'brokerPassword',
  fileKey: 'influxPasswordFile' | 'brokerPasswordFile',
): string | null {
  const fromFile = text(config, fileKey)
  if (fromFile === null) return config[key] === '' ? null : config[key]
  if (config[key] !== '') throw new ConfigError(`${envName(key)} and ${envName(fileKey)}: give one of them`)
  // an editor ends the last line
  return fromFile.replace(/\r?\n$/, '')
}
