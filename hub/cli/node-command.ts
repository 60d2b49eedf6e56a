/** `hearting node add | list | revoke`: what nodes sign in with, made on the hub's own machine. */
import { Command, InvalidArgumentError } from 'commander'
import { isId } from '../../shared/ids.js'
import { digestOf, newSecret } from '../doors/secrets.js'
import { columns, type DoorFileOptions, dayOf, withConfigOption, withDoorFile } from './door-file.js'

interface InGarden {
  readonly garden: string
}
interface JsonOption {
  readonly json: boolean
}

const id = (text: string): string => {
  if (isId(text)) return text
  throw new InvalidArgumentError(
    'Use 1 to 63 small letters, digits or hyphens, starting with a letter or digit.',
  )
}

export function nodeCommand(): Command {
  return new Command('node')
    .summary('user names and passwords of nodes')
    .description(
      'What nodes sign in with at the hub’s own broker. A node publishes under its own topics only. A running hub\n' +
        'knows of a change within a second; a revoked node is cut off.',
    )
    .addCommand(
      withConfigOption(
        new Command('add').description('Lets a node in: prints its user name and password, this once.'),
      )
        .argument('<node>', 'its id, as in its topics', id)
        .option('--garden <id>', 'the garden it stands in', id, 'home')
        .option('--replace', 'where it has a password already: another takes its place', false)
        .option('--json', 'print JSON', false)
        .action((node: string, options: DoorFileOptions & InGarden & JsonOption & { replace: boolean }) => {
          const { garden } = options
          const password = newSecret()
          const isMade = withDoorFile(options, (records) => {
            const known = records.readDoors().nodeCredentials
            if (!options.replace && known.some((one) => one.garden === garden && one.node === node))
              return false
            records.putNodeCredential({ garden, node, digest: digestOf(password), createdAtMs: Date.now() })
            return true
          })
          if (!isMade) {
            console.error(`The node ${node} of ${garden} has a password already: --replace gives it another.`)
            process.exitCode = 1
            return
          }
          const username = `${garden}/${node}`
          if (options.json) console.log(JSON.stringify({ garden, node, username, password }))
          else console.log(`user name  ${username}\npassword   ${password}\n\nThis is shown only now.`)
        }),
    )
    .addCommand(
      withConfigOption(new Command('list').description('Lists the nodes that may sign in.'))
        .option('--json', 'print JSON', false)
        .action((options: DoorFileOptions & JsonOption) => {
          const { nodeCredentials } = withDoorFile(options, (records) => records.readDoors())
          if (options.json) {
            const shown = nodeCredentials.map(({ garden, node, createdAtMs }) => ({
              garden,
              node,
              madeAt: new Date(createdAtMs).toISOString(),
            }))
            console.log(JSON.stringify(shown, null, 2))
          } else if (nodeCredentials.length === 0) console.log('No node has a password.')
          else {
            const rows = nodeCredentials.map(({ garden, node, createdAtMs }) => [
              garden,
              node,
              dayOf(createdAtMs),
            ])
            console.log(columns([['garden', 'node', 'made'], ...rows]))
          }
        }),
    )
    .addCommand(
      withConfigOption(
        new Command('revoke').description('Takes back what a node signs in with; its readings stay.'),
      )
        .argument('<node>', 'its id', id)
        .option('--garden <id>', 'the garden it stands in', id, 'home')
        .action((node: string, options: DoorFileOptions & InGarden) => {
          const { garden } = options
          if (withDoorFile(options, (records) => records.deleteNodeCredential(garden, node))) {
            console.log(`The node ${node} of ${garden} is turned away from now on.`)
            return
          }
          console.error(`The node ${node} of ${garden} has no password: see \`hearting node list\`.`)
          process.exitCode = 1
        }),
    )
}
