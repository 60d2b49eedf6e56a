/** Ids of gardens and nodes as they are typed on the command line. */
import { InvalidArgumentError } from 'commander'
import { isId } from '../../shared/ids.js'

export function givenId(text: string): string {
  if (isId(text)) return text
  throw new InvalidArgumentError(
    'Use 1 to 63 small letters, digits or hyphens, starting with a letter or digit.',
  )
}
