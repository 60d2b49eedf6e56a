/** `hearting token add | list | revoke`: API tokens for scripts, made on the hub's own machine only. */
import { Command, InvalidArgumentError, Option } from 'commander'
import { TOKEN_USER } from '../doors/mqtt-logins.js'
import { digestOf, newId, newSecret } from '../doors/secrets.js'
import { columns, type DoorFileOptions, dayOf, withConfigOption, withDoorFile } from './door-file.js'

type Scope = 'read' | 'write'
interface JsonOption {
  readonly json: boolean
}

const name = (text: string): string => {
  if (/^[A-Za-z0-9][A-Za-z0-9._ -]{0,62}$/.test(text)) return text
  throw new InvalidArgumentError('Use up to 63 letters, digits, blanks, dots and hyphens.')
}

export function tokenCommand(): Command {
  return new Command('token')
    .summary('API tokens for scripts')
    .description(
      'API tokens for scripts. A script sends one as `Authorization: Bearer TOKEN`, or over MQTT as the password of\n' +
        `the user ${TOKEN_USER}. A running hub knows of a change within a second.`,
    )
    .addCommand(
      withConfigOption(new Command('add').description('Makes a token and prints it, this once.'))
        .argument('<name>', 'what it is for', name)
        .addOption(new Option('--scope <scope>', 'what it may do').choices(['read', 'write']).default('read'))
        .option('--json', 'print JSON', false)
        .action((what: string, options: DoorFileOptions & JsonOption & { scope: Scope }) => {
          const secret = newSecret()
          const token = {
            id: newId(),
            name: what,
            scope: options.scope,
            digest: digestOf(secret),
            createdAtMs: Date.now(),
          }
          if (!withDoorFile(options, (records) => records.addToken(token))) {
            console.error(`There is a token "${what}" already: revoke it first, or use another name.`)
            process.exitCode = 1
            return
          }
          if (options.json) {
            console.log(JSON.stringify({ name: what, scope: options.scope, token: secret }))
            return
          }
          console.log(
            `${secret}\n\nThis is shown only now. It may ${options.scope === 'read' ? 'read' : 'read and change'}.`,
          )
        }),
    )
    .addCommand(
      withConfigOption(new Command('list').description('Lists the tokens, without what nobody should see.'))
        .option('--json', 'print JSON', false)
        .action((options: DoorFileOptions & JsonOption) => {
          const { tokens } = withDoorFile(options, (records) => records.readDoors())
          const shown = tokens.map((token) => ({
            name: token.name,
            scope: token.scope,
            madeAt: new Date(token.createdAtMs).toISOString(),
          }))
          if (options.json) console.log(JSON.stringify(shown, null, 2))
          else if (shown.length === 0) console.log('There are no tokens.')
          else {
            const rows = tokens.map((token) => [token.name, token.scope, dayOf(token.createdAtMs)])
            console.log(columns([['name', 'may', 'made'], ...rows]))
          }
        }),
    )
    .addCommand(
      withConfigOption(new Command('revoke').description('Takes a token back.'))
        .argument('<name>', 'as `token list` shows it')
        .action((what: string, options: DoorFileOptions) => {
          if (withDoorFile(options, (records) => records.deleteToken(what))) {
            console.log(`The token "${what}" opens nothing any more.`)
            return
          }
          console.error(`There is no token "${what}": see \`hearting token list\`.`)
          process.exitCode = 1
        }),
    )
}
