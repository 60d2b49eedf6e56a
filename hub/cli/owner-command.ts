/** `hearting owner reset`: for whoever has forgotten the passphrase and stands at the hub's own machine. */
import { Command } from 'commander'
import { type DoorFileOptions, withConfigOption, withDoorFile } from './door-file.js'

export function ownerCommand(): Command {
  return new Command('owner')
    .summary('the owner of the hub')
    .description('The owner of the hub: who signs in with the passphrase.')
    .addCommand(
      withConfigOption(
        new Command('reset').description(
          'Forgets the passphrase, ends every session and takes back every read-only link. The hub then shows a new\n' +
            'set-up code on its console. Garden, readings, tokens and nodes stay as they are.',
        ),
      )
        .option('--yes', 'do not ask for this word again')
        .action((options: DoorFileOptions & { yes?: boolean }) => {
          if (options.yes !== true) {
            console.error('This signs everybody out. If you mean it: hearting owner reset --yes')
            process.exitCode = 2
            return
          }
          withDoorFile(options, (records) => records.resetOwner())
          console.log('The owner is forgotten. Open the page and give the set-up code that the hub shows.')
        }),
    )
}
