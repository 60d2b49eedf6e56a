/** Makes a backup and stands still within a phase of it, to be killed there. Arguments: data folder, file, phase. */
import { makeBackup } from '../../hub/keep/backup.js'

const [, , dataDir, file, wanted] = process.argv
await makeBackup(dataDir!, file!, {
  onProgress({ phase }) {
    if (phase !== wanted) return
    process.stdout.write('here\n')
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0)
  },
})
